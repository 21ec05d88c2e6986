#include <string>

#include "check/comparison.hpp"

/// What the output says again behind a change of tools, or behind a command that is not understood.
namespace durograde::check {
namespace {

const char* what_is_missing(const Sayings& wanted, const Sayings& said) {
    const std::uint32_t things = wanted.things & ~said.things;
    if ((things & says_place) != 0) return "its place";
    if ((things & says_e_count) != 0) return "the count of E";
    if ((things & (says_units | says_distance | says_e_mode)) != 0) return "how numbers are read";
    if ((things & says_feed) != 0) return "its feed";
    if ((things & says_fan) != 0) return "its fan";
    return "a setting";
}

}  // namespace

/// What a change of tools or an unknown command may have changed was said again before the bead, as
/// far as the input has said it: all of it behind a change, and what the input says anew behind the
/// same command.
void Comparison::judge_said(const Stroke& stroke, Lines lines) {
    Sayings wanted = sayings_.swapped() ? stroke.said_ever : stroke.said_since;
    const bool counts_e = !after_.state().frame.e_relative;
    if (sayings_.swapped()) {
        wanted.things |= says_place | says_feed | says_distance | says_e_mode;
        if (counts_e) wanted.things |= says_e_count;
        // No change of tools changes them, but the plan's own lines may.
        wanted.things &= ~std::uint32_t{says_units};
        if (plan_.machine.write.swap_says_units) wanted.things |= says_units;
    }
    if (!counts_e) wanted.things &= ~std::uint32_t{says_e_count};
    if (sayings_.since().hold(wanted)) return;
    ledger_.fail(Invariant::settings_kept, {1.0}, lines,
                 std::string("is printed before ") + what_is_missing(wanted, sayings_.since()) +
                     " was said again after a change of tools or an unknown command");
}

}  // namespace durograde::check
