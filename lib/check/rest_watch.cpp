#include "check/rest_watch.hpp"

#include <algorithm>
#include <cmath>
#include <string>

namespace durograde::check {
namespace {

constexpr double written_k = 0.0006;  // temperatures are written with three decimals
constexpr double whole_k = 1.0;       // standby may be rounded up
/// Two clocks are off by so much, and heat may be asked for a little early.
constexpr double ahead_s = 3.0;

}  // namespace

double lowest_c(const plan::Heater& heater, double from_c, double ready_c, double gap_s) {
    double low_c = heater.ambient_c, high_c = from_c;
    for (int i = 0; i < 50 && low_c < high_c; ++i) {
        const double middle_c = (low_c + high_c) / 2;
        const double there_and_back_s =
            cooling_time_s(heater, from_c, middle_c) + heating_time_s(heater, middle_c, ready_c);
        (there_and_back_s > gap_s ? low_c : high_c) = middle_c;
    }
    return high_c;
}

void RestWatch::begin(int number, std::uint64_t line) {
    settle(number);
    const HeatModel::Tool& tool = model_.now(number);
    if (tool.plan == nullptr || tool.plan->standby_c) return;
    Rest& rest = rests_[number];
    rest = {.from_c = tool.high_c, .least_s = clock_.least_s(), .swaps_s = clock_.swaps_s()};
    set_now(number, rest, line);
    // Where it has reached its set-point, nothing is to be waited for.
    if (tool.reached) rest.heating_s = 0.0;
}

void RestWatch::set_now(int number, Rest& rest, std::uint64_t line) {
    rest.set_c = model_.set_point_c(number);
    rest.since_s = clock_.least_s();
    rest.heating_s = model_.heating_s(number);
    rest.line = line;
}

void RestWatch::set(int number, std::uint64_t line) {
    const auto found = rests_.find(number);
    if (found == rests_.end() || found->second.is_over) return;
    Rest& rest = found->second;
    look_at(rest, clock_.least_s() - rest.since_s, plan_.heat->idle_s);
    set_now(number, rest, line);
}

/// A set-point that has stood for longer than `most_s` counts as one that the tool rests at.
void RestWatch::look_at(Rest& rest, double stood_s, double most_s) {
    if (stood_s <= most_s || rest.set_c <= rest.held_c) return;
    rest.held_c = rest.set_c;
    rest.held_s = stood_s;
    rest.held_most_s = most_s;
    rest.held_line = rest.line;
}

void RestWatch::end(int number) {
    const auto found = rests_.find(number);
    if (found == rests_.end()) return;
    Rest& rest = found->second;
    rest.stood_s = clock_.least_s() - rest.since_s;
    rest.least_s = clock_.least_s() - rest.least_s;
    rest.swaps_s = clock_.swaps_s() - rest.swaps_s;
    const auto lowered = lowered_.find(number);
    rest.is_set_back = lowered != lowered_.end() && lowered->second;
    rest.is_over = true;
}

void RestWatch::use(int number) {
    settle(number);
    lowered_.erase(number);
}

/// The rest that is over is judged.
void RestWatch::settle(int number) {
    const auto found = rests_.find(number);
    if (found == rests_.end() || !found->second.is_over) return;
    judge(number, found->second);
    rests_.erase(found);
}

void RestWatch::judge(int number, Rest rest) {
    const HeatModel::Tool& tool = model_.now(number);
    const double ready_c = tool.set_c - tool.plan->ready_k;
    // It had this long at the least: any longer, and it could have been cooler.
    const double gap_s = std::max(0.0, rest.least_s + rest.swaps_s - ahead_s - tool.plan->settle_s);
    const double lowest = lowest_c(tool.plan->heater, rest.from_c, ready_c, gap_s);
    // The last set-point is the one that it is used at: it may take the time to get there on top.
    // Where no line stands at which to set it later, the tool is on its way before it has cooled.
    const double ahead = rest.heating_s > 0 ? ahead_s : 0.0;
    const double heating_s =
        rest.is_set_back ? heating_time_s(tool.plan->heater, lowest, ready_c) : 0.0;
    look_at(rest, rest.stood_s,
            std::max(plan_.heat->idle_s, ahead) + std::max(rest.heating_s, heating_s));
    if (rest.held_c <= lowest + whole_k + written_k) return;
    const auto celsius = [](double value) { return std::to_string(std::lround(value)) + " °C"; };
    ledger_.fail(Invariant::quiet_when_idle, {rest.held_s, rest.held_most_s}, {0, rest.held_line},
                 "tool " + std::to_string(number) + " stands idle at " + celsius(rest.held_c) +
                     ", though " + celsius(std::ceil(lowest)) +
                     " is hot enough to be ready in time");
}

}  // namespace durograde::check
