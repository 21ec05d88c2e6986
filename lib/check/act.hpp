#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <string_view>

#include "check/geometry.hpp"
#include "check/settings.hpp"

namespace durograde::check {

/// What a line does.
enum class Kind : std::uint8_t {
    nothing,   ///< blank, a comment alone, or a command that only tells or asks
    bead,      ///< moves along XY and extrudes
    travel,    ///< moves, or says a feed, without extruding
    wipe,      ///< moves along XY and draws filament back
    filament,  ///< moves filament, not XY; also the machine's own retraction
    setting,   ///< only sets state that later beads print with
    fan,
    label,
    frame,  ///< how numbers are read from here on, or the count of E
    heat,
    tool,
    progress,
    pin,    ///< anything else: nothing may move across it
    fault,  ///< cannot be read
};

/// The meaning of one line. Lengths in mm.
struct Act {
    Kind kind = Kind::nothing;
    bool is_arc = false;
    bool by_machine = false;  ///< a retraction or restart whose length the machine decides
    bool waits = false;       ///< heat: until it is reached
    bool cools = false;       ///< and from above too
    bool sets = false;        ///< heat: gives a temperature
    bool settles = false;     ///< tool: which one was in use before it was not known
    int tool = 0;             ///< of tool and heat; -1: every tool
    Point from, to;
    bool from_known = true;  ///< false: after homing, say, `from` is where it was before
    Arc arc;
    double e_mm = 0.0;  ///< filament fed, negative when retracted
    double feed_mm_min = 0.0;
    double length_mm = 0.0;  ///< of the path; of the filament where nothing else moves
    double dwell_s = 0.0;
    double celsius = 0.0;
    const char* fault = nullptr;     ///< what cannot be read
    std::uint32_t fault_column = 0;  ///< from 1

    [[nodiscard]] bool moves() const {
        return kind == Kind::bead || kind == Kind::travel || kind == Kind::wipe ||
               kind == Kind::filament;
    }
};

/// How numbers are read.
struct Frame {
    bool inch = false;
    bool relative = false;
    bool e_relative = false;
    double area_mm2 = 0.0;  ///< filament cross-section where E is a volume, else 0

    friend bool operator==(const Frame&, const Frame&) = default;

    [[nodiscard]] double unit_mm() const { return inch ? 25.4 : 1.0; }
    [[nodiscard]] double e_unit_mm() const { return area_mm2 > 0 ? 1.0 / area_mm2 : unit_mm(); }
};

/// What earlier lines have set and later ones rest on.
struct State {
    Frame frame;
    Point at;
    std::array<bool, 3> known{};           ///< whether x, y, z of `at` are known
    std::array<double, 3> origin{};        ///< machine coordinate of the program's zero
    std::array<double, 3> saved_origin{};  ///< what G92.3 brings back
    int work_offset = 0;                   ///< in tenths of its G code; 0: none selected yet
    bool extruded = false;                 ///< a bead was
    bool adrift = false;                   ///< and then its zero went nobody knows where
    double e_count = 0.0;                  ///< in units of the E word
    double feed_mm_min = 0.0;              ///< 0: none given yet
    int motion = -1;                       ///< code of the motion mode, 0 to 3, or -1
    int tool = 0;
    bool tool_away = false;    ///< another was selected since that the plan does not know, or none
    bool tool_unsure = false;  ///< none was selected yet, or some command may have selected another
    double fan_duty = 0.0;     ///< 0 to 1
    bool fan_named = false;
    int label = -1;
    double speed_factor = 1.0;
    Settings settings;
    std::map<int, double> set_points_c;

    /// How many things have been set for the first time. A line that sets one parts what comes
    /// before it from what comes after: the earlier value is not known.
    [[nodiscard]] std::size_t firsts() const { return settings.firsts() + (fan_named ? 1 : 0); }

    [[nodiscard]] bool is_placed() const { return known[0] && known[1] && known[2]; }

    /// Set-point of a tool, 0 where none was given.
    [[nodiscard]] double set_point_c(int number) const {
        const auto found = set_points_c.find(number);
        return found == set_points_c.end() ? 0.0 : found->second;
    }
};

}  // namespace durograde::check
