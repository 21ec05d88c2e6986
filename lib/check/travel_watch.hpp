#pragma once

#include <map>
#include <optional>
#include <set>
#include <vector>

#include "check/coverage.hpp"
#include "check/ledger.hpp"
#include "check/open_air.hpp"
#include "check/retractions.hpp"

namespace durograde::check {

/// Protected: what the output does between one bead and the next. A way is judged when its end is known.
class TravelWatch {
  public:
    /// All arguments must outlive the watch.
    TravelWatch(const plan::Plan& plan, const Layer& layer, OpenAir& open_air, double bead_mm,
                Ledger& ledger);

    /// The layer was filled anew.
    void begin_layer();

    /// A move of the output that extrudes nothing along XY. `drawn` holds after it.
    void move(const Act& act, const Retractions::Drawn& drawn, std::uint64_t output_line);
    void swap(int from, const Retractions::Drawn& drawn, std::uint64_t output_line);
    void pin() { pin_passed_ = true; }

    /// A bead was matched. `follows` where it goes on from the bead before without anything between.
    void bead(const Match& match, int tool, bool graded, bool follows, Lines lines);
    /// A bead that lies on none of the input.
    void lost_bead(int tool);

    /// Nothing is extruded any more.
    void finish(bool drawn, std::uint64_t output_line);

  private:
    struct Swap {
        int from = 0;
        bool drawn = false;
        double wiped_mm = 0.0;
        std::uint64_t line = 0;
    };
    void wipe_along(const Act& act);
    [[nodiscard]] bool is_on_trail(const Point& point) const;
    [[nodiscard]] double trail_mm() const;
    [[nodiscard]] bool is_wiped(int tool, double wiped_mm) const;
    void judge_swaps(Lines lines);
    void judge_way(const Match& match, Lines lines);
    [[nodiscard]] bool leads_on(const Match& match) const;
    double open_air_mm(const std::vector<Point>& way);
    void begin_way();

    const plan::Plan& plan_;
    const Layer& layer_;
    OpenAir& open_air_;
    double half_bead_mm_;
    Ledger& ledger_;
    bool is_painted_ = false;

    // The way since the last bead.
    std::vector<Point> way_, bare_;  ///< all of it, and the longest part that is not retracted
    double way_mm_ = 0.0;
    std::vector<std::vector<Point>> bare_ways_;
    bool was_drawn_ = false;
    std::vector<Swap> swaps_;
    double wiped_mm_ = 0.0;
    bool wiping_ = false, pin_passed_ = false;

    // The last bead, and the piece that it ends.
    std::optional<Match> last_;
    bool last_graded_ = false, same_layer_ = false;
    std::vector<Point> trail_;  ///< back along the piece, as far as any wipe goes
    double trail_length_mm_ = 0.0;
    std::uint32_t piece_segment_ = 0;
    double piece_from_ = 0.0;
    int tool_ = 0;
    std::set<int> loaded_;  ///< tools that have extruded
};

}  // namespace durograde::check
