#include "grade/wait_advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "heat/heater.hpp"

namespace durograde::grade {
namespace {

constexpr double some_s = 60.0, some_share = 0.1;

/// What a tool is asked for by the zones of the plan, least and most.
struct Temperatures {
    double least_c = 0.0, most_c = 0.0;
};

Temperatures asked_of(const plan::Plan& plan, const plan::Tool& tool) {
    Temperatures asked;
    for (const plan::Zone& zone : plan.zones) {
        const auto* number = std::get_if<plan::ToolNumber>(&zone.tool);
        if (number == nullptr || number->number != tool.number) continue;
        const double celsius = plan.temperature_c(zone);
        asked.least_c = asked.most_c > 0 ? std::min(asked.least_c, celsius) : celsius;
        asked.most_c = std::max(asked.most_c, celsius);
    }
    return asked;
}

/// Of the tools in use.
struct Heating {
    double longest_s = 0.0;         ///< from cold
    bool several = false;           ///< temperatures of one tool
    bool cools_to_standby = false;  ///< a fixed one, below what is printed at
};

Heating heating_of(const plan::Plan& plan, const Figures& figures) {
    Heating heating;
    for (const plan::Tool& tool : plan.tools) {
        const auto used = figures.tools.find(tool.number);
        if (used == figures.tools.end() || used->second.visits == 0) continue;
        const Temperatures asked = asked_of(plan, tool);
        const double most_c = asked.most_c > 0 ? asked.most_c : tool.temperature_c;
        const double from_cold_s =
            heat::ready_s(tool.heater, tool.heater.ambient_c, most_c, tool.ready_k);
        heating.longest_s = std::max(heating.longest_s, from_cold_s + tool.settle_s);
        heating.several = heating.several || asked.most_c > asked.least_c;
        heating.cools_to_standby =
            heating.cools_to_standby || (tool.standby_c && *tool.standby_c < most_c);
    }
    return heating;
}

std::string advice(const plan::Plan& plan, const Heating& heating) {
    std::string fewer = "give the zones of one tool fewer temperatures, or a tool each";
    if (!plan.heat) {
        return "add [heat] to the plan, so that tools are heated ahead of need" +
               (heating.several ? "; " + fewer : std::string());
    }
    if (plan.heat->horizon_s < heating.longest_s) {
        return fmt::format(
            "raise heat.horizon to {:.0f} s or more: a tool takes {:.0f} s to get "
            "hot from cold",
            std::ceil(heating.longest_s / 60 + 1) * 60, heating.longest_s);
    }
    if (heating.several) return fewer;
    if (heating.cools_to_standby)
        return "set `standby = \"auto\"` for the tools: they then cool no further than they can "
               "be heated again in time";
    return {};
}

}  // namespace

void warn_of_long_waits(const plan::Plan& plan, Figures& figures) {
    const Heating heating = heating_of(plan, figures);
    const double spared_s = figures.waiting_s - heating.longest_s;
    if (spared_s <= some_s || spared_s <= some_share * figures.after_s) return;
    figures.warnings.push_back(
        {.code = "long-waits",
         .severity = Severity::warning,
         .text = fmt::format("{:.0f} min of the print are spent waiting for heat",
                             figures.waiting_s / 60),
         .mend = advice(plan, heating)});
}

}  // namespace durograde::grade
