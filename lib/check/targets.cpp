#include "check/targets.hpp"

#include <algorithm>

namespace durograde::check {

Targets::Targets(const plan::Plan& plan) {
    for (const plan::Zone& zone : plan.zones) zones_.push_back(chosen(plan, zone.tool));
    outside_ = chosen(plan, plan.sheet.outside);
}

int Targets::chosen(const plan::Plan& plan, const Choice& choice) {
    const auto* tool = std::get_if<plan::ToolNumber>(&choice);
    if (tool == nullptr) return no_target;
    const double celsius = plan.find_tool(tool->number)->temperature_c;
    const bool foams = plan.material.has_value();
    const double flow = foams ? plan::Curve(plan.material->points).flow(celsius) : 1.0;
    return number_of({tool->number, celsius, flow, false});
}

int Targets::of_zone(int zone, int tool, double celsius) {
    const int target = zones_[static_cast<std::size_t>(zone)];
    return target != no_target ? target : number_of({tool, celsius, 1.0, true});
}

int Targets::of_outside(int tool, double celsius) {
    return outside_ != no_target ? outside_ : number_of({tool, celsius, 1.0, true});
}

int Targets::number_of(const Target& target) {
    const auto found = std::find(list_.begin(), list_.end(), target);
    if (found != list_.end()) return static_cast<int>(found - list_.begin());
    list_.push_back(target);
    return static_cast<int>(list_.size()) - 1;
}

}  // namespace durograde::check
