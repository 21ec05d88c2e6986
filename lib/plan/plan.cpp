#include "plan/plan.hpp"

#include <algorithm>
#include <variant>

#include "plan/sections.hpp"
#include "plan/travel.hpp"

namespace durograde::plan {

bool Plan::asks_nothing() const {
    const auto keeps = [](const Zone& zone) {
        return std::holds_alternative<Keep>(zone.tool) && !zone.hardness_shore_a;
    };
    const auto is_plain = [](const Tool& tool) {
        return differing_key(tool.travel, {}).empty() && !tool.fan && !tool.max_flow_mm3_s &&
               !tool.prime;
    };
    return !gradient && std::all_of(zones.begin(), zones.end(), keeps) &&
           std::holds_alternative<Keep>(sheet.outside) &&
           std::all_of(tools.begin(), tools.end(), is_plain) && !order && !strings && !heat;
}

bool Plan::has_wishes() const {
    return gradient || std::any_of(zones.begin(), zones.end(), [](const Zone& zone) {
               return zone.hardness_shore_a.has_value();
           });
}

bool Plan::uses_depth() const {
    const auto asks = [](const grammar::Condition& condition) {
        return std::any_of(condition.steps.begin(), condition.steps.end(),
                           [](const grammar::Step& step) { return step.op == grammar::Op::depth; });
    };
    return (gradient && asks(gradient->below)) ||
           std::any_of(zones.begin(), zones.end(),
                       [&](const Zone& zone) { return asks(zone.where); });
}

const Tool* Plan::find_tool(int number) const {
    return plan::find_tool(tools, number);
}

double Plan::temperature_c(const Zone& zone) const {
    if (zone.temperature_c) return *zone.temperature_c;
    return find_tool(std::get<ToolNumber>(zone.tool).number)->temperature_c;
}

const Travel& Plan::travel(const Tool& tool, double celsius) const {
    const auto says = std::find_if(zones.begin(), zones.end(), [&](const Zone& zone) {
        return zone.travel && std::get<ToolNumber>(zone.tool).number == tool.number &&
               temperature_c(zone) == celsius;
    });
    return says == zones.end() ? tool.travel : *says->travel;
}

}  // namespace durograde::plan
