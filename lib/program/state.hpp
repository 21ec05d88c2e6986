#pragma once

#include <array>
#include <map>
#include <optional>

#include "program/geometry.hpp"
#include "program/said_limits.hpp"
#include "program/step.hpp"

namespace durograde::program {

/// How far a tool's filament is retracted.
struct Retraction {
    double mm = 0.0;
    bool by_firmware = false;
};

/// What the program itself has said so far; the rest is as the machine happened to stand.
struct Said {
    bool units = false, distance = false, e_mode = false, tool = false;
};

/// Everything that a program's earlier lines have set and its later lines rest on.
struct State {
    Frame frame;
    Said said;
    std::array<bool, 3> known{};  ///< whether x, y, z of `position` are known
    bool printed = false;         ///< some bead has been extruded
    bool displaced = false;       ///< and after it the zero went where the controller alone knows
    bool firmware_retracted = false;  ///< G10 without its G11
    bool fan_named = false;
    int label = -1;
    Point position;                          ///< machine coordinates, mm
    std::array<double, 3> origin_mm{};       ///< machine coordinate of the program's zero (G92)
    std::array<double, 3> kept_origin_mm{};  ///< what G92.3 brings back
    double e_register = 0.0;                 ///< the program's count of E, in units of the E word
    double feed_mm_min = 0.0;                ///< 0 while none was given
    int work_offset = -1;                    ///< G54 to G59.3 in tenths, or -1
    int plane = 17;                          ///< G17 to G19
    int motion = -1;                         ///< G code of the motion mode, 0 to 3, or -1
    int tool = 0;
    std::optional<int> foreign_tool;  ///< selected last, no tool of the plan; below 0: none at all
    double retracted_mm = 0.0;        ///< by `tool`: filament retracted and not yet restarted
    std::map<int, Retraction> put_away;  ///< of the tools used before
    double fan_duty = 0.0;
    long barriers = 0;                   ///< commands so far that may have changed anything
    long fan_said_at = 0;                ///< of them had gone by when the fan was said last
    double speed_factor = 1.0;           ///< M220
    SaidLimits limits;                   ///< M201, M203, M204, M205
    std::map<int, double> set_points_c;  ///< by tool, as last set

    [[nodiscard]] bool position_known() const { return known[0] && known[1] && known[2]; }
    /// Set-point of `tool_number`, or 0 where none was set.
    [[nodiscard]] double set_point_c(int tool_number) const {
        const auto found = set_points_c.find(tool_number);
        return found == set_points_c.end() ? 0.0 : found->second;
    }
};

}  // namespace durograde::program
