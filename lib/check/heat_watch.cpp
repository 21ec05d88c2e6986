#include "check/heat_watch.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

constexpr double written_k = 0.0006;  // temperatures are written with three decimals
// Two clocks that time corners differently are off by so much over a minute or two of heating up.
constexpr double ahead_s = 3.0;

std::string tool_text(int number) {
    return "tool " + std::to_string(number);
}

/// Whole degrees and tenths, for messages.
std::string celsius_text(double celsius) {
    const long tenths = std::lround(celsius * 10);
    return std::to_string(tenths / 10) + "." + std::to_string(std::abs(tenths % 10)) + " °C";
}

}  // namespace

HeatWatch::HeatWatch(const plan::Plan& plan, Clock& clock, Ledger& ledger)
    : plan_(plan),
      clock_(clock),
      ledger_(ledger),
      model_(plan, clock),
      rest_watch_(plan, clock, model_, ledger) {
    if (plan.heat) ledger_.note(Invariant::quiet_when_idle, 0.0, plan_.heat->idle_s);
}

void HeatWatch::set(int number, double celsius, std::uint64_t output_line) {
    if (celsius > plan_.machine.hottest_c + written_k) {
        ledger_.fail(Invariant::right_heat, {celsius - plan_.machine.hottest_c, written_k},
                     {0, output_line},
                     tool_text(number) + " is set to " + celsius_text(celsius) +
                         ", above the machine's hottest");
    }
    const double before_c = model_.now(number).set_c;
    model_.set(number, celsius);
    if (celsius < before_c) rest_watch_.lower(number);
    if (celsius > before_c) rest_watch_.raise(number);
    const auto found = idle_.find(number);
    if (found == idle_.end() || before_c == celsius) return;
    Idle& idle = found->second;
    const plan::Tool* tool = model_.now(number).plan;
    if (tool == nullptr) return;
    if (watches_idle()) rest_watch_.set(number, output_line);
    if (idle.hot) end_hot(number, idle, 0.0, output_line);
    idle.hot = tool->standby_c && celsius > *tool->standby_c + written_k;
    idle.hot_since_s = clock_.least_s();
    idle.heating_s = idle.hot ? model_.heating_s(number) : 0.0;
    if (celsius <= 0) idle.off_s = std::min(idle.off_s, clock_.least_s());
    idle.line = output_line;
}

void HeatWatch::select(int number, std::uint64_t output_line) {
    if (number == tool_) return;
    begin_idle(tool_, output_line);
    clock_.swap(plan_.machine.swap_time_s);
    end_idle(number, false, output_line);
    tool_ = number;
}

void HeatWatch::begin_grading(std::uint64_t output_line) {
    grading_ = true;
    for (const plan::Tool& tool : plan_.tools) {
        if (tool.number != tool_) begin_idle(tool.number, output_line);
    }
}

// --- idle tools ---------------------------------------------------------------------------------

void HeatWatch::begin_idle(int number, std::uint64_t line) {
    const HeatModel::Tool& tool = model_.now(number);
    if (tool.plan == nullptr) return;
    Idle idle;
    idle.since_s = idle.hot_since_s = clock_.least_s();
    idle.hot = tool.plan->standby_c && tool.set_c > *tool.plan->standby_c + written_k;
    // What is still on its way up may get there first.
    idle.heating_s = idle.hot && !tool.reached ? model_.heating_s(number) : 0.0;
    if (tool.set_c <= 0) idle.off_s = idle.since_s;
    idle.line = line;
    idle_[number] = idle;
    if (watches_idle()) rest_watch_.begin(number, line);
}

/// An idle tool may stand hot for the time that the plan allows; before it is used, `heating_s`
/// longer. How long that takes is not known to the second: a tool may be hot `ahead_s` before its
/// use though the plan allows an idle tool less.
void HeatWatch::end_hot(int number, const Idle& idle, double heating_s, std::uint64_t line) {
    if (!watches_idle()) return;
    const double hot_s = clock_.least_s() - idle.hot_since_s - heating_s;
    const double most_s = std::max(plan_.heat->idle_s, heating_s > 0 ? ahead_s : 0.0);
    if (hot_s <= most_s) return ledger_.note(Invariant::quiet_when_idle, hot_s, most_s);
    ledger_.fail(Invariant::quiet_when_idle, {hot_s, most_s}, {0, idle.line},
                 tool_text(number) + " stands idle above its standby from here to line " +
                     std::to_string(line));
}

void HeatWatch::end_idle(int number, bool for_good, std::uint64_t line) {
    const auto found = idle_.find(number);
    if (found == idle_.end()) return;
    Idle& idle = found->second;
    if (!for_good) rest_watch_.end(number);
    if (idle.hot) end_hot(number, idle, for_good ? 0.0 : idle.heating_s, line);
    const double gap_s = clock_.least_s() - idle.since_s;
    if (watches_idle() && (for_good || gap_s > plan_.heat->horizon_s)) {
        const double on_s = std::min(idle.off_s, clock_.least_s()) - idle.since_s;
        if (on_s > plan_.heat->idle_s) {
            ledger_.fail(Invariant::quiet_when_idle, {on_s, plan_.heat->idle_s}, {0, idle.line},
                         tool_text(number) + " is not off, though it is not needed until line " +
                             std::to_string(line));
        }
    }
    idle_.erase(found);
}

void HeatWatch::finish(std::uint64_t output_line) {
    for (const plan::Tool& tool : plan_.tools) {
        if (tool.number != tool_) end_idle(tool.number, true, output_line);
        const double set_c = model_.now(tool.number).set_c;
        if (set_c <= 0) continue;
        ledger_.fail(Invariant::quiet_when_idle, {}, {0, output_line},
                     tool_text(tool.number) + " is left at " + celsius_text(set_c) + " at the end");
    }
}

// --- extrusion ----------------------------------------------------------------------------------

/// Where the input never said a set-point, its graded part is printed with the tool's own.
double HeatWatch::wanted_c(const Target& target) const {
    const plan::Tool* tool = plan_.find_tool(tool_);
    const bool is_said = target.celsius > 0 || !grading_ || tool == nullptr;
    return is_said ? target.celsius : tool->temperature_c;
}

void HeatWatch::extrude(const Target& target, bool input_waits, Lines lines) {
    rest_watch_.use(tool_);
    const HeatModel::Tool& tool = model_.now(tool_);
    const double wanted_c = this->wanted_c(target);
    if (!tool.given && !(wanted_c > 0)) return;
    const double off_k = std::abs(tool.set_c - wanted_c);
    if (off_k > written_k) {
        return ledger_.fail(Invariant::right_heat, {off_k, written_k}, lines,
                            tool_text(tool_) + " extrudes with its set-point at " +
                                celsius_text(tool.set_c) + " in place of " +
                                celsius_text(wanted_c));
    }
    ledger_.note(Invariant::right_heat, off_k, written_k);
    if (tool.set_c < plan_.machine.coldest_extrusion_c) {
        return ledger_.fail(Invariant::right_heat,
                            {plan_.machine.coldest_extrusion_c - tool.set_c, 0.0}, lines,
                            tool_text(tool_) + " extrudes below the coldest allowed");
    }
    // Where the input has not waited for its own tool either, that is the input's affair.
    if (!target.keeps || input_waits) check_temperature(tool, lines);
}

void HeatWatch::prime(std::uint64_t output_line) {
    rest_watch_.use(tool_);
    const HeatModel::Tool& tool = model_.now(tool_);
    if (tool.plan == nullptr) return;
    if (tool.set_c < plan_.machine.coldest_extrusion_c) {
        return ledger_.fail(Invariant::right_heat,
                            {plan_.machine.coldest_extrusion_c - tool.set_c, 0.0}, {0, output_line},
                            tool_text(tool_) + " is primed below the coldest allowed");
    }
    check_temperature(tool, {0, output_line});
}

/// Neither waited for, nor within the tolerance for certain, whichever time it has been.
void HeatWatch::check_temperature(const HeatModel::Tool& tool, Lines lines) {
    if (tool.reached || tool.plan == nullptr) return;
    const double off_k = std::max({0.0, tool.set_c - tool.low_c, tool.high_c - tool.set_c});
    if (off_k <= tool.plan->ready_k)
        return ledger_.note(Invariant::right_heat, off_k, tool.plan->ready_k);
    ledger_.fail(Invariant::right_heat, {off_k, tool.plan->ready_k}, lines,
                 tool_text(tool_) + " extrudes before it has reached " + celsius_text(tool.set_c));
}

}  // namespace durograde::check
