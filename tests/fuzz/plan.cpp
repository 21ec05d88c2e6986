#include <cmath>

#include "plan/load.hpp"
#include "refusal.hpp"
#include "region/zones.hpp"
#include "targets.hpp"

namespace durograde::fuzz {
namespace {

void promise_plan(const plan::Plan& plan) {
    for (const plan::Tool& tool : plan.tools) {
        promise(plan.find_tool(tool.number) == &tool, "two tools of one number");
        promise(tool.temperature_c <= plan.machine.hottest_c, "a tool hotter than allowed");
        promise(tool.standby_c.value_or(0.0) <= plan.machine.hottest_c,
                "a standby hotter than allowed");
    }
    for (const plan::Zone& zone : plan.zones) {
        const auto* number = std::get_if<plan::ToolNumber>(&zone.tool);
        promise(number == nullptr || plan.find_tool(number->number) != nullptr,
                "a zone without its tool");
    }
    for (const plan::PartPlace& place : plan.sheet.places)
        promise(std::isfinite(place.x_mm + place.y_mm + place.turn_deg), "a place nowhere");
    // Every shape that a condition names exists: else this would not end well.
    const region::ZoneField field(plan);
    promise(field.zone_at({}) < static_cast<int>(plan.zones.size()), "a zone that is none");
}

}  // namespace

void try_plan(std::string_view bytes) {
    // A folder that does not exist: what a plan includes is then never found.
    constexpr const char* file = "nowhere/plan.toml";
    try {
        const plan::Plan plan = plan::load_text(bytes, file);
        promise_plan(plan);
        promise(plan::load_text(bytes, file).warnings.size() == plan.warnings.size(),
                "a plan loads otherwise the second time");
    } catch (const Failure& failure) {
        promise_refusal(failure, {Exit::bad_plan});
    }
}

}  // namespace durograde::fuzz
