#include "check/targets.hpp"

#include <optional>

#include "check/card.hpp"
#include "region/zones.hpp"

namespace durograde::check {
namespace {

using Choice = std::variant<plan::Keep, plan::ToolNumber>;

/// A tool at its own temperature, or at another one.
Target chosen(const plan::Plan& plan, const Choice& choice, std::optional<double> other_c) {
    const auto* tool = std::get_if<plan::ToolNumber>(&choice);
    if (tool == nullptr) return {Target::no_tool, 0.0, 1.0, true, 0.0, 0.0};
    const double celsius = other_c.value_or(plan.find_tool(tool->number)->temperature_c);
    if (!plan.material) return {tool->number, celsius, 1.0, false, 0.0, 0.0};
    const Card card(plan.material->points);
    return {tool->number, celsius, card.flow(celsius), false, 0.0, card.max_flow_mm3_s(celsius)};
}

Target filled(const Target& target, int tool, double celsius) {
    return target.keeps ? Target{tool, celsius, 1.0, true, 0.0, 0.0} : target;
}

}  // namespace

Targets::Targets(const plan::Plan& plan)
    : outside_(chosen(plan, plan.sheet.outside, std::nullopt)) {
    for (const plan::Zone& zone : plan.zones) {
        Target& target = zones_.emplace_back(chosen(plan, zone.tool, zone.temperature_c));
        if (!zone.steady_flow_mm3_s) continue;
        target.least_mm3_s = zone.steady_flow_mm3_s->low;
        const double of_material = target.most_mm3_s;
        target.most_mm3_s = zone.steady_flow_mm3_s->high;
        if (of_material > 0 && of_material < target.most_mm3_s) target.most_mm3_s = of_material;
    }
}

Target Targets::of_zone(int zone, int tool, double celsius) const {
    if (zone == region::no_zone) return {};
    return filled(zones_[static_cast<std::size_t>(zone)], tool, celsius);
}

Target Targets::of_outside(int tool, double celsius) const {
    return filled(outside_, tool, celsius);
}

}  // namespace durograde::check
