#pragma once

#include <map>
#include <span>
#include <vector>

#include "grade/pieces.hpp"

namespace durograde::grade {

/// Which stations a span needs. Without any, it changes nothing.
struct Need {
    std::vector<int> stations;  ///< different ones, by tool and temperature
    std::vector<int> fixed;     ///< where the order cannot be chosen: all visits, as they come
    int first = -1;             ///< the one that comes first, or -1: any may
};

Need need_of(const program::Span& span, const std::vector<Piece>& pieces, const Stations& stations);

/// What stands ready: a station, or only a tool.
struct Ready {
    int station = -1;  ///< -1: none that is known
    int tool = program::unknown_tool;
};

/// Seconds that a change from one station to another costs: a swap with its prime, or on one and
/// the same tool the wait for its other temperature.
double change_s(const Station& from, const Station& to, const plan::Plan& plan);

/// Chooses in which order the stations of each span are visited, so that all changes over the spans
/// that are known ahead cost least: the cheapest way through the stations of a span by dynamic
/// programming over their subsets (Held & Karp, 1962), and the cheapest row of such ways by dynamic
/// programming over the spans (Viterbi, 1967).
class Sequence {
  public:
    /// `plan` must outlive the sequence.
    explicit Sequence(const plan::Plan& plan) : plan_(plan) {}

    /// The order for the first of `needs`; the others are what comes after it.
    std::vector<int> order(std::span<const Need> needs, const Stations& stations,
                           const Ready& ready);

    /// More stations than this are visited upwards or downwards: the number of subsets doubles with
    /// each.
    static constexpr std::size_t most_chosen = 7;

  private:
    /// A way through all stations of a need.
    struct Way {
        int first = 0, last = 0;
        double cost_s = 0.0;
        std::vector<int> order;
    };
    using Ways = std::vector<Way>;
    const Ways& ways(const Need& need, const Stations& stations);
    [[nodiscard]] Ways all_ways(const std::vector<int>& list, const Stations& stations) const;
    [[nodiscard]] double enter_s(const Ready& ready, int first, const Stations& stations) const;
    [[nodiscard]] double change_s(int from, int to, const Stations& stations) const;

    const plan::Plan& plan_;
    std::map<std::vector<int>, Ways> known_;
    Ways fixed_;
};

}  // namespace durograde::grade
