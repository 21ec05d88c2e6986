#pragma once

#include <cstdint>

#include "program/geometry.hpp"

namespace durograde::program {

/// What a line does, as far as regrouping beads is concerned.
enum class StepKind : std::uint8_t {
    blank,     ///< nothing
    comment,   ///< a comment alone, or a command that only tells or asks something
    bead,      ///< extrudes along a path
    travel,    ///< moves without extruding
    wipe,      ///< moves in XY while drawing filament back
    filament,  ///< moves filament alone: a retract or a restart
    setting,   ///< only sets state that later beads print with
    fan,       ///< duty of the part fan
    label,     ///< names the object that follows
    frame,     ///< changes how coordinates are read, or the E register: G90, M83, G92 E0
    heat,      ///< sets or waits for a tool's temperature
    tool,      ///< selects a tool of this machine
    progress,  ///< states progress
    pin,       ///< anything else: nothing may move across it
};

inline constexpr int unknown_tool = -1;   ///< one that the plan does not know, or none (T-1)
inline constexpr int doubtful_tool = -2;  ///< which one a command in disguise has left in use
/// Filament that a bead restarts or a restart adds may be off by so much: sums of written numbers.
inline constexpr double no_filament_mm = 1e-6;

/// How the program's numbers are to be read.
struct Frame {
    bool inch = false;
    bool relative = false;           ///< X, Y, Z as increments (G91)
    bool e_relative = false;         ///< E as increments (M83)
    double volumetric_area_mm2 = 0;  ///< filament cross-section where E is a volume (M200), else 0

    friend bool operator==(const Frame&, const Frame&) = default;

    /// mm per length unit of the program.
    [[nodiscard]] double unit_mm() const { return inch ? 25.4 : 1.0; }
    /// mm of filament per unit of the E word.
    [[nodiscard]] double e_unit_mm() const {
        return volumetric_area_mm2 > 0 ? 1.0 / volumetric_area_mm2 : unit_mm();
    }
};

/// The meaning of one line. Which members count depends on `kind`.
struct Step {
    StepKind kind = StepKind::blank;
    bool plain =
        false;  ///< one move and nothing else: may be copied where position and frame agree
    bool is_arc = false;
    bool has_feed_word = false;
    bool sets_register = false;   ///< G92 with E
    bool names_place = false;     ///< X and Y are given in absolute numbers
    bool primes = false;          ///< filament fed in place, or straight up: what is no restart
    bool leaves_unknown = false;  ///< a pin that is not understood: any state may be another now
    std::uint32_t e_begin = 0, e_end = 0;  ///< bytes of the E number in the line; equal where none
    Point from, to;
    Arc arc;
    double e_mm = 0.0;          ///< filament fed, mm, negative when retracted
    double e_word = 0.0;        ///< the number of the E word
    double feed_mm_min = 0.0;   ///< in force on this move
    double retracted_mm = 0.0;  ///< of a bead: filament still retracted where it begins
    double surplus_mm = 0.0;    ///< of a filament move: fed beyond what was retracted
    /// Of a bead: the filament that restarts along it, so much of `e_mm` is no bead's.
    [[nodiscard]] double restarts_mm() const {
        return retracted_mm > no_filament_mm && e_mm > retracted_mm + no_filament_mm ? retracted_mm
                                                                                     : 0.0;
    }
    bool firmware_retracted = false;  ///< of a bead: it begins after G10 without G11; of these: G10
    double dwell_s = 0.0;
    // setting
    std::uint32_t setting_key =
        0;  ///< command and, where it has one, index: one family of settings
    std::uint32_t setting_letters = 0;  ///< parameters given, a bit a letter
    bool setting_covers_all = false;    ///< replaces every earlier line of its family
    // fan, label, tool, heat
    double fan_duty = 0.0;  ///< 0 to 1
    int label = -1;         ///< object index, -1 for none
    int tool = 0;           ///< of a pin that may have changed it: one of the constants above
    double temperature_c = 0.0;
    bool waits = false, names_tool = false;

    /// Back to a blank line. Points and arc keep what they held: they count for moves alone, which
    /// set them.
    void reset() noexcept {
        kind = StepKind::blank;
        plain = is_arc = has_feed_word = sets_register = setting_covers_all = waits = names_tool =
            leaves_unknown = primes = names_place = false;
        e_begin = e_end = setting_key = setting_letters = 0;
        e_mm = e_word = feed_mm_min = dwell_s = fan_duty = temperature_c = surplus_mm = 0.0;
        label = -1;
        tool = 0;
    }

    [[nodiscard]] bool moves() const {
        return kind == StepKind::bead || kind == StepKind::travel || kind == StepKind::wipe ||
               kind == StepKind::filament;
    }
    [[nodiscard]] double length_mm() const {
        return is_arc ? std::hypot(arc.length_mm(), to.z - from.z) : distance(from, to);
    }
};

}  // namespace durograde::program
