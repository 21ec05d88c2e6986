#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace durograde::support {

/// One extruded segment of a program, as a plain reading of it gives it. mm.
struct Bead {
    double x0 = 0, y0 = 0, z0 = 0, x1 = 0, y1 = 0, z1 = 0;
    double e_mm = 0;
    double feed_mm_min = 0;
    double fan = 0;            ///< S of the last M106, 0 after M107
    std::string acceleration;  ///< the last M204 line's parameters
    int tool = 0;
    double set_point_c = 0;  ///< of the tool
    bool retracted = false;  ///< filament of this tool is drawn back
    bool priming = false;
    std::size_t line = 0;

    [[nodiscard]] double length_mm() const;
};

/// What a plain reading of a whole program gives.
struct Replay {
    std::vector<Bead> beads;
    std::map<int, double> set_points_c;  ///< at the end
    double filament_mm = 0;              ///< of beads that are no primes
    double primed_mm = 0;
    double fed_around_swaps_mm = 0;  ///< net, by the plan's own lines
    long swaps = 0;
    std::map<int, double> hottest_c;
    double low_x = 1e9, high_x = -1e9;  ///< of all moves
    bool plain_numbers = true;          ///< no exponent, nan or inf anywhere in a command
};

/// How a machine may stand when a program begins, and what selecting a tool may do to it beside:
/// controllers differ (common practice, no source).
struct Machine {
    // at the program's begin
    bool inch = false, relative = false, e_relative = false;
    double e_count = 0;
    double flow = 1;  ///< M221 as a factor
    double x = 0, y = 0, z = 0;
    int tool = 0;
    // after a tool was selected
    bool zeroes_e = false;           ///< its count of E
    bool resets_flow = false;        ///< M221 is 100 % again
    bool ends_at_dock = false;       ///< the nozzle stands elsewhere
    bool forgets_feed = false;       ///< the feed is the dock's
    bool leaves_increments = false;  ///< lines of the machine's own have left G91 and M82
    bool forgets_acceleration = false;
    /// The plan's own lines around a swap leave everything otherwise: nothing of what they say
    /// counts behind them.
    bool scrambles_behind_lines = false;
    /// Tools that the program selects before this many others count for none of that.
    long first_swap = 0;
    bool distance_sets_e = true;  ///< G90 and G91 set the E mode too
};

/// Reads a program line by line with none of the library's code: what the tests compare by. Arcs
/// become their chords of at most a tenth of a millimetre.
Replay replay(std::string_view program);
/// The same on a machine that stands or behaves otherwise.
Replay replay(std::string_view program, const Machine& machine);

}  // namespace durograde::support
