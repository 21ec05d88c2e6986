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
    long swaps = 0;
    std::map<int, double> hottest_c;
    double low_x = 1e9, high_x = -1e9;  ///< of all moves
    bool plain_numbers = true;          ///< no exponent, nan or inf anywhere in a command
};

/// Reads a program line by line with none of the library's code: what the tests compare by. Arcs
/// become their chords of at most half a millimetre.
Replay replay(std::string_view program);

}  // namespace durograde::support
