#include "heat/schedule.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "heat/command.hpp"
#include "heat/rest.hpp"

namespace durograde::heat {
namespace {

/// Preheating begins this much earlier than the model says: marks stand up to a second apart, and a
/// second of waiting costs more than a second of heat.
constexpr double early_s = 2.0;
/// However short `heat.idle`, a set-point may come this much ahead of what the model says.
constexpr double most_ahead_s = 3.0;

}  // namespace

Schedule::Schedule(const plan::Plan& plan, Timeline& timeline, std::string line_end)
    : plan_(plan), timeline_(timeline), line_end_(std::move(line_end)), ooze_(plan) {
    for (const plan::Tool& tool : plan.tools) {
        states_.try_emplace(tool.number, tool.heater);
        hours_[tool.number];
    }
}

std::string Schedule::set_command(int tool, double temperature_c) const {
    return heat::set_command(plan_, tool, temperature_c) + line_end_;
}

double Schedule::temperature_at(const plan::Tool& tool, const State& state, double time_s) const {
    return temperature_after(tool.heater, state.temperature_c, state.set_point_c,
                             std::max(0.0, time_s - state.since_s));
}

void Schedule::note_set_point(int tool, double set_point_c, double now_s) {
    const plan::Tool* known = plan_.find_tool(tool);
    if (known == nullptr) return;
    State& state = states_.at(tool);
    if (state.set_point_c != set_point_c) {
        state.temperature_c = temperature_at(*known, state, now_s);
        state.set_point_c = set_point_c;
        state.since_s = now_s;
        state.note();
    }
}

double Schedule::heating_s(int tool, double now_s) const {
    double longest_s = 0.0;
    for (const auto& [number, state] : states_) {
        if ((tool >= 0 && number != tool) || state.set_point_c <= 0) continue;
        const plan::Tool& known = *plan_.find_tool(number);
        const double now_c = temperature_at(known, state, now_s);
        longest_s =
            std::max(longest_s, ready_s(known.heater, now_c, state.set_point_c, known.ready_k));
    }
    return longest_s;
}

void Schedule::note_wait(int tool, double now_s) {
    for (auto& [number, state] : states_) {
        if (tool < 0 || number == tool) reach(state, now_s);
    }
}

void Schedule::reach(State& state, double now_s) {
    if (state.set_point_c <= 0) return;
    state.temperature_c = state.set_point_c;
    state.since_s = now_s;
    state.note();
}

void Schedule::set_at(const plan::Tool& tool, State& state, double temperature_c,
                      const Timeline::Mark& mark) {
    state.temperature_c = temperature_at(tool, state, mark.time_s);
    state.since_s = std::max(state.since_s, mark.time_s);
    state.set_point_c = temperature_c;
    state.note();
    if (state.left) note_idle(state);
    ++commands_;
}

void Schedule::note_idle(State& state) {
    state.idle.push_back({state.since_s, state.set_point_c, state.temperature_c});
}

void Schedule::leave(int tool, const Timeline::Mark& mark) {
    const auto found = states_.find(tool);
    if (found == states_.end()) return;
    State& state = found->second;
    state.left = mark;
    const double now_c = temperature_at(*plan_.find_tool(tool), state, mark.time_s);
    state.idle = {{mark.time_s, state.set_point_c, now_c}};
}

double Schedule::oozed_mm3(int tool, double now_s) {
    const auto found = states_.find(tool);
    if (found == states_.end()) return 0.0;
    const plan::Heater& heater = plan_.find_tool(tool)->heater;
    const double lost_mm3 = ooze_.lost_mm3(heater, std::exchange(found->second.idle, {}), now_s);
    hours_[tool].ooze_mm3 += lost_mm3;
    return lost_mm3;
}

/// Sets a tool that is needed later, at the mark before `at_s`. Where no mark stands near, as
/// amid a long wait for another tool, the tool would be hot long before it is needed: more than an
/// idle tool may be. Then it is set at the mark after `at_s`, and what is missing is waited for.
Timeline::Mark Schedule::set_ahead(const plan::Tool& tool, double target_c, double at_s,
                                   const Timeline::Mark& earliest) {
    const double most_early_s = std::max(plan_.heat->idle_s, most_ahead_s) - early_s;
    return timeline_.insert(at_s, earliest, set_command(tool.number, target_c), most_early_s);
}

/// A tool that was left longer than `idle` goes to standby at once, and is set to its target again
/// so that it is hot when needed. Where it could cool by less than a degree, it stays as it is.
void Schedule::rest(const plan::Tool& tool, State& state, double target_c, double need_s) {
    const Timeline::Mark left = *state.left;
    const double from_c = temperature_at(tool, state, left.time_s);
    const Idle idle{from_c, target_c - tool.ready_k,
                    std::max(0.0, need_s - left.time_s - early_s - tool.settle_s)};
    const double standby_c = tool.standby_c ? *tool.standby_c : least_standby_c(tool.heater, idle);
    if (standby_c >= state.set_point_c && state.set_point_c == target_c) {
        hours_[tool.number].idle_hot_s += need_s - left.time_s;
        return;
    }
    const double rest_c = std::min(standby_c, state.set_point_c);
    const double rest_s = longest_rest_s(tool.heater, idle, rest_c);
    const Timeline::Mark at = timeline_.insert(left.time_s, left, set_command(tool.number, rest_c));
    set_at(tool, state, rest_c, {at.position, left.time_s});
    const Timeline::Mark again = set_ahead(tool, target_c, left.time_s + rest_s, left);
    set_at(tool, state, target_c, again);
    hours_[tool.number].standby_s += std::max(0.0, again.time_s - left.time_s);
    hours_[tool.number].idle_hot_s += std::max(0.0, need_s - again.time_s);
}

/// A tool that is off, or set to something else, is set ahead of need.
void Schedule::heat_up(const plan::Tool& tool, State& state, double target_c, double need_s) {
    const double now_c = temperature_at(tool, state, need_s);
    double lead_s = ready_s(tool.heater, now_c, target_c, tool.ready_k);
    if (now_c < target_c) {
        // It goes on cooling until the command comes, so that later is colder.
        const double gap_s = std::max(0.0, need_s - state.since_s - tool.settle_s);
        const Idle idle{state.temperature_c, target_c - tool.ready_k, gap_s};
        lead_s = gap_s - longest_rest_s(tool.heater, idle, state.set_point_c);
    }
    // Never before the horizon, however slow the heater: what is missing then is waited for.
    const double at_s = need_s - std::min(lead_s + early_s + tool.settle_s, plan_.heat->horizon_s);
    const Timeline::Mark at = set_ahead(tool, target_c, at_s, begin_);
    set_at(tool, state, target_c, at);
}

/// Nobody needs it within the horizon: off from where it was left.
void Schedule::turn_off(const plan::Tool& tool, State& state) {
    if (state.set_point_c <= 0) return;
    timeline_.insert(state.left->time_s, *state.left, set_command(tool.number, 0));
    set_at(tool, state, 0, *state.left);
}

double Schedule::arrive(int tool_number, double target_c, double need_s) {
    const plan::Tool* tool = plan_.find_tool(tool_number);
    if (tool == nullptr || target_c <= 0) return 0.0;
    State& state = states_.at(tool_number);
    const bool was_left = state.left.has_value();
    if (was_left && plan_.heat.has_value()) {
        const double gap_s = need_s - state.left->time_s;
        if (gap_s > plan_.heat->horizon_s) turn_off(*tool, state);
        if (state.set_point_c <= 0) {
            hours_[tool_number].off_s += gap_s;
            heat_up(*tool, state, target_c, need_s);
        } else if (gap_s > plan_.heat->idle_s) {
            rest(*tool, state, target_c, need_s);
        } else {
            hours_[tool_number].idle_hot_s += gap_s;
        }
    } else if (was_left) {
        hours_[tool_number].idle_hot_s += need_s - state.left->time_s;
    }
    if (plan_.heat.has_value() && !was_left && state.set_point_c != target_c) {
        heat_up(*tool, state, target_c, need_s);
    }
    state.left.reset();
    const double now_c = temperature_at(*tool, state, need_s);
    // Set where it is waited for, it loses what it does on the way there.
    if (state.set_point_c != target_c && !state.idle.empty())
        state.idle.push_back({need_s, target_c, now_c});
    const double heating_s = ready_s(tool->heater, now_c, target_c, tool->ready_k);
    return heating_s > 0 ? heating_s + tool->settle_s : settling_s(*tool, state, target_c, need_s);
}

/// What is left of the time that the controller holds a wait for a tool that is ready.
double Schedule::settling_s(const plan::Tool& tool, const State& state, double target_c,
                            double need_s) {
    if (state.set_point_c != target_c) return tool.settle_s;
    const double ready_at_s =
        state.since_s + ready_s(tool.heater, state.temperature_c, target_c, tool.ready_k);
    return std::clamp(tool.settle_s - (need_s - ready_at_s), 0.0, tool.settle_s);
}

bool Schedule::must_cool(int tool_number, double target_c, double now_s) const {
    const plan::Tool* tool = plan_.find_tool(tool_number);
    if (tool == nullptr) return false;
    return temperature_at(*tool, states_.at(tool_number), now_s) > target_c + tool->ready_k;
}

bool Schedule::needs_set(int tool, double target_c) const {
    const auto found = states_.find(tool);
    return found != states_.end() && found->second.set_point_c != target_c;
}

bool Schedule::is_ready(int tool_number, double target_c, double now_s) const {
    const plan::Tool* tool = plan_.find_tool(tool_number);
    if (tool == nullptr) return true;
    const double now_c = temperature_at(*tool, states_.at(tool_number), now_s);
    return std::abs(now_c - target_c) <= tool->ready_k;
}

void Schedule::reached(int tool, double target_c, double now_s, double waited_s) {
    const auto found = states_.find(tool);
    if (found == states_.end()) return;
    State& state = found->second;
    // What was still to be set was set before the wait.
    note_set_point(tool, target_c, now_s - waited_s);
    state.temperature_c = state.set_point_c = target_c;
    state.since_s = now_s;
    state.note();
    hours_[tool].wait_s += waited_s;
}

History Schedule::history(int tool, double end_s) const {
    History history = states_.at(tool).history;
    history.end(end_s);
    return history;
}

void Schedule::advance(double now_s) {
    if (!plan_.heat.has_value()) {
        timeline_.release(now_s);
        return;
    }
    double until_s = now_s - plan_.heat->horizon_s;
    if (timeline_.is_crowded()) {
        until_s = now_s;
        shortened_ = true;
    }
    for (auto& [number, state] : states_) {
        const bool due = state.left.has_value() && state.left->time_s < until_s;
        if (!due) continue;
        turn_off(*plan_.find_tool(number), state);
    }
    timeline_.release(until_s);
}

void Schedule::finish(const Timeline::Mark& mark) {
    for (auto& [number, state] : states_) {
        const bool idle = state.left.has_value();
        if (state.set_point_c <= 0) {
            if (idle) hours_[number].off_s += mark.time_s - state.left->time_s;
            state.left.reset();
            continue;
        }
        const Timeline::Mark where = idle && plan_.heat.has_value() ? *state.left : mark;
        timeline_.insert(where.time_s, where, set_command(number, 0));
        if (idle) hours_[number].off_s += mark.time_s - where.time_s;
        set_at(*plan_.find_tool(number), state, 0, where);
        state.left.reset();
    }
    for (auto& [number, state] : states_) oozed_mm3(number, mark.time_s);
}

}  // namespace durograde::heat
