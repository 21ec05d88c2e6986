#pragma once

#include <optional>
#include <set>
#include <vector>

#include "check/coverage.hpp"
#include "check/ledger.hpp"
#include "check/open_air.hpp"
#include "check/printed_lines.hpp"
#include "check/retractions.hpp"
#include "check/trail.hpp"
#include "check/travels.hpp"

namespace durograde::check {

/// Protected: what the output does between one bead and the next. A way is judged when its end is
/// known.
class TravelWatch {
  public:
    /// All arguments must outlive the watch. `layer` is filled anew from time to time.
    TravelWatch(const plan::Plan& plan, const Travels& travels, const Layer& layer,
                OpenAir& open_air, double bead_mm, Ledger& ledger);

    /// The layer is done; the next bead lies in the one after it.
    void end_layer();

    /// A move of the output that is no bead. `drawn` holds after it.
    void move(const Act& act, const Retractions::Drawn& drawn);
    /// `tool` is put away for another.
    void swap(int tool, int next_tool, const Retractions::Drawn& drawn, std::uint64_t output_line);
    /// The input's own line has put the tool away: the swap that follows finds none.
    void put_away() { is_away_ = true; }
    /// A line of the input's own has fed more than was retracted. Where no bead follows, what the
    /// tool does then is no affair of the beads.
    void feed() { is_fed_ = true; }
    /// The tool in use has fed filament that is no bead of the print: a prime, a block's bead.
    void load() { loaded_.insert(tool_); }
    /// A line that nothing may move across: the way to it is judged beside the beads before it. Not
    /// so where the input `feeds_at_end` in place: it goes there as it likes, and what it feeds
    /// there may not make up for a retraction.
    void pin(std::uint64_t output_line, bool feeds_at_end);

    /// A bead was matched. `graded` tells that the plan grades from here on.
    void bead(const Match& match, bool graded, Lines lines);
    /// A bead was matched that goes on along the same stroke, without anything between.
    void extend(const Match& match) {
        last_->segment = match.segment;
        (match.reversed ? last_->from : last_->to) = match.reversed ? match.from : match.to;
    }
    /// What the output has printed.
    void print(const Act& bead) {
        if (hops_) printed_.print(bead);
    }
    /// A bead lies on none of the input: the way to it is judged, the one after it is not.
    void lost_bead(std::uint64_t output_line);

    /// Nothing is extruded any more.
    void finish(std::uint64_t output_line);

  private:
    struct Leg {
        Point from, to;
        bool bare = false;    ///< not retracted, with a tool that could be
        bool partly = false;  ///< retracted by less than the tool's length
        bool fed = false;     ///< and the input has fed filament since the last bead
        bool hops = false;    ///< as high as the tool's hop, or need not: nothing was retracted
    };
    struct Swap {
        int tool = 0, next_tool = 0;
        bool drawn = false, partly = false, wiped = false;
        std::uint64_t line = 0;
    };
    /// A way that a wipe may take along the last beads, and how far it has been taken.
    struct Wiping {
        Trail trail;
        bool on = false;
        double mm = 0.0;
    };
    [[nodiscard]] static Trail::Place entry_of(const Match& match) {
        return {match.segment, match.reversed ? match.to : match.from};
    }
    [[nodiscard]] static Trail::Place exit_of(const Match& match) {
        return {match.segment, match.reversed ? match.from : match.to};
    }
    [[nodiscard]] bool goes_on(const Match& match) const;
    void find_trails();
    void trace_onward(double most_mm);
    [[nodiscard]] bool is_wiped() const;
    [[nodiscard]] bool is_drawn_partly(const Retractions::Drawn& drawn) const;
    void drop_inputs_swaps(const Match& match);
    void judge_swaps(Lines lines);
    void judge_way(Lines lines);
    void judge_hop(const Match& match, Lines lines);
    [[nodiscard]] bool retracts(int tool) const;
    [[nodiscard]] bool is_high(const Act& act, const Retractions::Drawn& drawn) const;
    bool judge_bare(bool counts_fed, bool counts_partly, const char* way, Lines lines);
    template <typename Counts>
    double open_air_mm(Counts counts);
    void begin_way(const Match& match, bool graded);

    const plan::Plan& plan_;
    const Travels& travels_;
    const Layer& layer_;
    OpenAir& open_air_;
    Ledger& ledger_;
    bool is_painted_ = false;
    bool hops_;             ///< some tool does
    std::set<int> loaded_;  ///< tools that have extruded
    double bead_mm_;
    PrintedLines printed_;
    WayPrint way_;  ///< since the last bead
    int tool_ = 0;
    bool is_away_ = false, is_fed_ = false;  ///< since the last bead

    // The way since the last bead.
    std::vector<Leg> legs_;
    std::vector<Swap> swaps_;
    std::vector<Point> polyline_;
    double way_mm_ = 0.0;
    bool trails_found_ = false, pin_passed_ = false;
    Wiping back_, onward_;

    // The last bead, the piece that it ends, and the row of pieces, joined end to end, that ends
    // with that.
    std::optional<Match> last_;
    bool last_graded_ = false;
    Trail::Place piece_begin_, row_begin_;
    bool row_reversed_ = false;

    // A row of beads that ends this near to its begin is closed: inches with four decimals are told
    // to 0.0025 mm.
    static constexpr double closed_mm = 0.01;
    static constexpr std::uint32_t before_first = 0xffffffff;  ///< the last segment of a layer done
};

}  // namespace durograde::check
