#include "check/setting_watch.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {

void SettingWatch::fail(Lines lines, const char* what) {
    ledger_.fail(Invariant::settings_kept, {1.0}, lines, what);
}

/// A duty of 0 stays 0, any other is brought within what the tool may have; the input's own lines
/// before the first graded bead stand as they are.
bool SettingWatch::is_right_fan(double asked, bool named, double duty, int tool,
                                bool graded) const {
    if (!named && duty <= 0.0) return true;
    if (fan_stale_ && graded) return false;
    const double written = 0.0006 / plan_.machine.read.fan_full;  // S has three decimals
    if (!graded && std::abs(duty - asked) <= written) return true;
    const plan::Tool* found = plan_.find_tool(tool);
    if (asked > 0 && found != nullptr && found->fan.has_value()) {
        asked = std::clamp(asked, found->fan->low, found->fan->high);
    }
    return std::abs(duty - asked) <= written;
}

void SettingWatch::piece(const Stroke& stroke, const State& state, bool graded, Lines lines) {
    if (!is_right_fan(stroke.fan_duty, stroke.fan_named, state.fan_duty, state.tool, graded)) {
        fail(lines, "is printed with another fan duty");
    }
    if (stroke.settings != state.settings.mark()) {
        fail(lines,
             "is printed with other accelerations, limits, overrides or settings of the plan");
    }
    if (stroke.label != state.label) fail(lines, "is printed under another object label");
}

void SettingWatch::pin(const Pin& pin, const Standing& now, int tool, const Precision& precision,
                       std::uint64_t output_line) {
    const Standing& then = pin.standing;
    const Lines lines{pin.line, output_line};
    const auto is_off = [](bool known, double a, double b, double slack) {
        return known && std::abs(a - b) > slack;
    };
    const bool moved = is_off(then.known[0], then.at.x, now.at.x, precision.xy_mm) ||
                       is_off(then.known[1], then.at.y, now.at.y, precision.xy_mm) ||
                       is_off(then.known[2], then.at.z, now.at.z, precision.z_mm);
    if (moved) fail(lines, "is met at another position");
    if (!(then.frame == now.frame)) {
        fail(lines, "is met with other units, distance modes or E modes");
    } else if (is_off(!then.frame.e_relative, then.e_count * then.frame.e_unit_mm(),
                      now.e_count * now.frame.e_unit_mm(), precision.e_mm)) {
        fail(lines, "is met at another count of E");
    }
    if (is_off(true, then.feed_mm_min, now.feed_mm_min, precision.feed_mm_min)) {
        fail(lines, "is met with another feed");
    }
    const bool right_fan = is_right_fan(then.fan_duty, then.fan_named, now.fan_duty, tool, false) ||
                           is_right_fan(then.fan_duty, then.fan_named, now.fan_duty, tool, true);
    if (!right_fan) fail(lines, "is met with another fan duty");
    if (then.settings != now.settings) fail(lines, "is met with other settings");
    if (then.label != now.label) fail(lines, "is met under another object label");
}

}  // namespace durograde::check
