#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "command_template.hpp"
#include "text/diagnostic.hpp"

/// The machine as the plan has it. Units: mm, °C, mm/s, mm/s², s.
namespace durograde::plan {

using Vec3 = std::array<double, 3>;

struct Range {
    double low = 0.0, high = 0.0;
};

struct PerAxis {
    double x = 0.0, y = 0.0, z = 0.0, e = 0.0;
};

struct Accelerations {
    double x = 5000, y = 5000, z = 300, e = 5000;  ///< limits of each axis, mm/s²
    double print = 3000, travel = 4000;  ///< of the path until the program says otherwise, mm/s²
};

/// Cornering by junction deviation: how far a rounded corner may stray from the path.
struct Deviation {
    double mm = 0.02;
};
/// Cornering by the largest instantaneous change of each axis' speed, mm/s.
using Jerk = PerAxis;

/// A line of the plan's own around a swap, and where it stands there.
struct SwapLine {
    grammar::CommandTemplate command;
    Place place;
};

/// How this controller is told things.
struct Writes {
    grammar::CommandTemplate set, wait, select;
    std::optional<grammar::CommandTemplate> wait_cool;  ///< waits for a tool that is too hot
    bool wait_cools = false;                            ///< `wait` does so, too
    std::vector<SwapLine> before_swap, after_swap;
    /// Some of them move, or say how numbers are read: then they are read in absolute mm and
    /// increments of filament, until they say otherwise.
    bool before_says_numbers = false, after_says_numbers = false;
    bool swap_says_units = false;  ///< G20 or G21 is among them

    [[nodiscard]] bool has_swap_lines() const {
        return !before_swap.empty() || !after_swap.empty();
    }
    [[nodiscard]] bool swap_says_numbers() const {
        return before_says_numbers || after_says_numbers;
    }
};

enum class RetractOrTool { retract, tool };

/// Where controllers differ in what a command means.
struct Reads {
    bool distance_mode_sets_e = true;  ///< G90/G91 also set the E mode
    double dwell_p_s = 0.001;          ///< seconds per unit of P in G4
    double fan_full = 255;             ///< S of M106 at full: 255 or 1
    double speed_limit_per_s = 1.0;    ///< seconds per time unit of M203: 1 or 60
    RetractOrTool g10 = RetractOrTool::retract;
    bool set_also_standby = false;  ///< M104 sets a tool's standby value too
};

struct Machine {
    Range reach_x, reach_y, reach_z;
    std::optional<double> gantry_mm;  ///< what is printed may stand so far above the nozzle's tip
    double filament_mm = 1.75;        ///< diameter
    double hottest_c = 0.0;
    double coldest_extrusion_c = 170.0;
    double swap_time_s = 9.0;
    PerAxis speed{350, 350, 12, 60};
    Accelerations acceleration;
    std::variant<Deviation, Jerk> cornering = Deviation{};
    std::vector<std::string> settings;  ///< commands, upper case, that only set state: "M8572"
    std::vector<std::string> tells;     ///< commands or names, upper case, that only tell or ask
    Writes write;
    Reads read;

    /// What both axes of the bed can do, mm/min: no travel is faster.
    [[nodiscard]] double fastest_mm_min() const { return 60 * std::min(speed.x, speed.y); }
    /// Cross-section of the filament, mm².
    [[nodiscard]] double filament_area_mm2() const;
};

}  // namespace durograde::plan
