#include "check/heat_model.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

constexpr double never_s = 1e9;

/// The temperature that full power leads to in the end. Without loss there is none.
double final_c(const plan::Heater& heater) {
    return heater.loss_per_s > 0 ? heater.ambient_c + heater.rise_k_s / heater.loss_per_s : never_s;
}

}  // namespace

double temperature_after(const plan::Heater& heater, double celsius, double set_c, double seconds) {
    const bool heats = celsius < set_c;
    const double decay = std::exp(-heater.loss_per_s * seconds);
    double end_c = 0.0;
    if (heater.loss_per_s <= 0) {
        end_c = heats ? celsius + heater.rise_k_s * seconds : celsius;
    } else {
        const double goal_c = heats ? final_c(heater) : heater.ambient_c;
        end_c = goal_c + (celsius - goal_c) * decay;
    }
    return heats ? std::min(end_c, set_c) : std::max(end_c, std::min(set_c, celsius));
}

double heating_time_s(const plan::Heater& heater, double from_c, double to_c) {
    if (from_c >= to_c) return 0.0;
    if (heater.loss_per_s <= 0) return (to_c - from_c) / heater.rise_k_s;
    const double end_c = final_c(heater);
    return end_c > to_c ? std::log((end_c - from_c) / (end_c - to_c)) / heater.loss_per_s : never_s;
}

double cooling_time_s(const plan::Heater& heater, double from_c, double to_c) {
    if (from_c <= to_c) return 0.0;
    if (heater.loss_per_s <= 0 || to_c <= heater.ambient_c) return never_s;
    return std::log((from_c - heater.ambient_c) / (to_c - heater.ambient_c)) / heater.loss_per_s;
}

HeatModel::HeatModel(const plan::Plan& plan, const Clock& clock) : clock_(clock) {
    for (const plan::Tool& tool : plan.tools) {
        Tool& entry = tools_[tool.number];
        entry.plan = &tool;
        entry.low_c = entry.high_c = tool.heater.ambient_c;
    }
}

void HeatModel::catch_up(int number, Tool& tool) {
    Times& seen = seen_[number];
    const double short_s = clock_.least_s() - seen.short_s, long_s = clock_.most_s() - seen.long_s;
    seen = {clock_.least_s(), clock_.most_s()};
    if (tool.plan == nullptr) return;
    // The one stretch may have been long where the next was short.
    const auto after = [&](double celsius, double seconds) {
        return temperature_after(tool.plan->heater, celsius, tool.set_c, seconds);
    };
    tool.low_c = std::min(after(tool.low_c, short_s), after(tool.low_c, long_s));
    tool.high_c = std::max(after(tool.high_c, short_s), after(tool.high_c, long_s));
}

void HeatModel::set(int number, double celsius) {
    Tool& tool = tools_[number];
    catch_up(number, tool);
    tool.reached = tool.reached && tool.set_c == celsius;
    tool.set_c = celsius;
    tool.given = true;
}

double HeatModel::wait(int number, bool cools) {
    double longest_s = 0.0;
    for (auto& [other, tool] : tools_) {
        if (number >= 0 && other != number) continue;
        catch_up(other, tool);
        if (!(tool.set_c > 0)) continue;
        if (!cools && tool.plan != nullptr && tool.low_c > tool.set_c + tool.plan->ready_k)
            continue;
        longest_s = std::max(longest_s, longest_wait_s(tool));
        tool.low_c = tool.high_c = tool.set_c;
        tool.reached = true;
    }
    return longest_s;
}

const HeatModel::Tool& HeatModel::now(int number) {
    Tool& tool = tools_[number];
    catch_up(number, tool);
    return tool;
}

double HeatModel::longest_wait_s(const Tool& tool) const {
    if (tool.plan == nullptr) return 0.0;
    const plan::Heater& heater = tool.plan->heater;
    return tool.plan->settle_s + std::max(heating_time_s(heater, tool.low_c, tool.set_c),
                                          cooling_time_s(heater, tool.high_c, tool.set_c));
}

double HeatModel::heating_s(int number) {
    const Tool& tool = now(number);
    if (tool.plan == nullptr) return 0.0;
    double coolest_c = tool.low_c;
    if (tool.plan->standby_c) coolest_c = std::min(coolest_c, *tool.plan->standby_c);
    return heating_time_s(tool.plan->heater, coolest_c, tool.set_c) + tool.plan->settle_s;
}

}  // namespace durograde::check
