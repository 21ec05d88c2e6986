#include <algorithm>
#include <cmath>

#include "grade/emitter.hpp"

/// Back to where the input stands, before lines that nothing may move across and at the end.
namespace durograde::grade {

using program::State;
using program::Step;
using program::StepKind;

namespace {

constexpr double same_mm = 1e-6;

/// What the program's last lines do before they retract.
struct LastLines {
    bool travels = false;
    bool feeds = false;  ///< where the nozzle stands: that may not make up for a retraction of ours
};

LastLines look_at(const std::vector<Step>& steps) {
    LastLines last;
    for (const Step& step : steps) {
        const bool by_firmware = step.kind == StepKind::filament && step.e_begin == step.e_end;
        last.feeds = last.feeds || step.primes;
        if (step.e_mm < 0 || by_firmware || step.primes) break;
        last.travels =
            last.travels || (step.kind == StepKind::travel && distance_xy(step.from, step.to) > 0);
    }
    return last;
}

}  // namespace

/// Before raw lines, and at the end: everything stands as the input had it there. Before the last
/// ones, where they `travel_bare`, the filament is retracted: the last travel is always protected.
void Emitter::sync(const State& state, const std::shared_ptr<const program::Settings>& settings,
                   Rejoin how) {
    if (how.needs_place) go_to(state, how.is_last);
    if (how.travels_bare) {
        draw_back();
    } else if (how.needs_place || how.feeds) {
        match_retraction(state);
    }
    insert(Reason::frame, [&] { writer_.change_frame(state.frame, state.e_register); });
    const bool counts = !state.frame.e_relative || how.is_last;
    if (counts && std::abs(writer_.e_register() - state.e_register) > 1e-7) {
        writer_.set_register(state.e_register);
        count(figures_.edits.inserted, Reason::frame);
    }
    say_settings(settings, {state.fan_duty, state.fan_said_at, state.fan_named}, state.label);
    insert(Reason::travel, [&] { writer_.feed(state.feed_mm_min); });
}

/// What the program's last lines need to find: where they say X and Y themselves before anything is
/// done there, the nozzle need not go back and dip onto the part.
Emitter::Rejoin Emitter::rejoin_before(const std::vector<Step>& steps, bool is_last) const {
    Rejoin how;
    how.is_last = is_last;
    if (!is_last) return how;
    const LastLines last = look_at(steps);
    how.feeds = last.feeds;
    how.travels_bare = last.travels && !last.feeds;
    for (const Step& step : steps) {
        if (step.kind == StepKind::travel && step.names_place) {
            how.needs_place = false;
            return how;
        }
        const bool moves_on = step.moves() && distance_xy(step.from, step.to) > same_mm;
        const bool sinks = step.moves() && step.to.z < writer_.position().z - same_mm;
        if (moves_on || sinks || step.is_arc || step.kind == StepKind::pin || step.primes)
            return how;
    }
    return how;
}

void Emitter::go_to(const State& state, bool last) {
    if (!state.position_known() || writer_.is_at(state.position)) return;
    restate_after_barrier();
    const double length = distance_xy(writer_.position(), state.position);
    const bool protect = last || (plan_.strings.has_value() && length > plan_.strings->gap_mm);
    const double feed = travel_feed();
    leaves_part_ = true;
    leave(protect, false, &state.position);
    insert(Reason::travel, [&] {
        double high = std::max(writer_.position().z, state.position.z);
        if (must_clear(&state.position)) high = std::max(high, clear_z_mm());
        if (writer_.position().z < high - same_mm) lift(high);
        const Point above{state.position.x, state.position.y, high};
        if (!writer_.is_at(above)) travel(above, feed);
        if (high > state.position.z + same_mm) lift(state.position.z);
    });
}

void Emitter::match_retraction(const State& state) {
    const plan::Retract how = travel_->retract.value_or(plan::Retract{});
    const double more = state.retracted_mm - retracted_mm_[tool_];
    if (std::abs(more) > same_mm) {
        restate_after_barrier();
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
