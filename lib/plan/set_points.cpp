#include "plan/set_points.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <variant>

#include "plan/keys.hpp"

namespace durograde::plan {
namespace {

/// A tool with a range stands at the coldest of what it was given.
void stand(Plan& plan, std::span<const SetPoint> set, std::span<const GradientStep> steps) {
    for (Tool& tool : plan.tools) {
        if (!tool.range_c) continue;
        double coldest_c = tool.range_c->high;
        bool is_given = false;
        const auto take = [&](int number, double celsius) {
            if (number != tool.number) return;
            is_given = true;
            coldest_c = std::min(coldest_c, celsius);
        };
        for (const SetPoint& one : set) take(one.tool, one.temperature_c);
        for (const GradientStep& one : steps) take(one.tool, one.temperature_c);
        tool.temperature_c = is_given ? coldest_c : tool.range_c->low;
    }
}

Zone step_zone(const Gradient& gradient, const GradientStep& step, std::size_t number,
               bool is_last) {
    Zone zone;
    zone.name = "gradient " + std::to_string(number);
    zone.where_text = is_last ? "true" : "(" + gradient.text + ") >= " + shown(step.from_shore_a);
    auto parsed = grammar::parse_condition(zone.where_text);
    zone.where = std::get<grammar::Condition>(std::move(parsed));
    zone.tool = ToolNumber{step.tool};
    zone.temperature_c = step.temperature_c;
    zone.place = gradient.place;
    return zone;
}

}  // namespace

std::vector<double> set_points_within(const Range& range_c) {
    std::vector<double> celsius = {range_c.low};
    const long last = std::lround(std::ceil(range_c.high));
    for (long whole = std::lround(std::floor(range_c.low)) + 1; whole < last; ++whole)
        celsius.push_back(static_cast<double>(whole));
    if (range_c.high > range_c.low) celsius.push_back(range_c.high);
    return celsius;
}

Plan with_set_points(const Plan& plan, std::span<const SetPoint> set,
                     std::span<const GradientStep> steps) {
    Plan answered = plan;
    stand(answered, set, steps);
    for (const SetPoint& one : set) {
        answered.zones[one.zone].tool = ToolNumber{one.tool};
        answered.zones[one.zone].temperature_c = one.temperature_c;
    }
    for (std::size_t i = 0; i < steps.size(); ++i)
        answered.zones.push_back(step_zone(*plan.gradient, steps[i], i + 1, i + 1 == steps.size()));
    answered.gradient.reset();
    return answered;
}

}  // namespace durograde::plan
