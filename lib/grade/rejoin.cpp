#include <algorithm>
#include <cmath>

#include "grade/emitter.hpp"

/// Back to where the input stands, before lines that nothing may move across and at the end.
namespace durograde::grade {

using program::State;

namespace {

constexpr double same_mm = 1e-6;

}  // namespace

/// Before raw lines, and at the end: everything stands as the input had it there. Before the last
/// ones, where they `travel_bare`, the filament is drawn back: the last travel is always protected.
void Emitter::sync(const State& state, const std::shared_ptr<const program::Settings>& settings,
                   bool last, bool travels_bare) {
    go_to(state, last);
    if (!travels_bare) match_retraction(state);
    if (travels_bare) draw_back();
    if (!(writer_.frame() == state.frame)) {
        writer_.change_frame(state.frame, state.e_register);
        count(figures_.edits.inserted, Reason::frame);
    }
    const bool counts = !state.frame.e_relative || last;
    if (counts && std::abs(writer_.e_register() - state.e_register) > 1e-7) {
        writer_.set_register(state.e_register);
        count(figures_.edits.inserted, Reason::frame);
    }
    say_settings(settings, state.fan_duty, state.fan_named, state.label);
    writer_.feed(state.feed_mm_min);
}

void Emitter::go_to(const State& state, bool last) {
    if (!state.position_known() || writer_.is_at(state.position)) return;
    const double length = distance_xy(writer_.position(), state.position);
    const bool protect = last || (plan_.strings.has_value() && length > plan_.strings->gap_mm);
    const double feed = plan_.machine.fastest_mm_min();
    leave(protect);
    const double high = std::max(writer_.position().z, state.position.z);
    if (writer_.position().z < high - same_mm) lift(high);
    const Point above{state.position.x, state.position.y, high};
    if (!writer_.is_at(above)) travel(above, feed);
    if (high > state.position.z + same_mm) lift(state.position.z);
    count(figures_.edits.inserted, Reason::travel);
}

void Emitter::match_retraction(const State& state) {
    const plan::Retract how = travel_->retract.value_or(plan::Retract{});
    const double more = state.retracted_mm - retracted_mm_[tool_];
    if (std::abs(more) > same_mm) {
        move_filament(-more, more > 0 ? how.speed_mm_s : how.restart_speed_mm_s);
        retracted_mm_[tool_] = state.retracted_mm;
        count(figures_.edits.inserted, Reason::protection);
    }
    if (state.firmware_retracted == firmware_retracted_[tool_]) return;
    writer_.line(state.firmware_retracted ? "G10" : "G11");
    time_machine_retraction(state.firmware_retracted);
    firmware_retracted_[tool_] = state.firmware_retracted;
    count(figures_.edits.inserted, Reason::protection);
}

}  // namespace durograde::grade
