#include <string>
#include <string_view>

#include "plan/sections.hpp"

namespace durograde::plan {

// Comparisons are written so that a value that is not a number, reported elsewhere, fails none of
// them.
void check_temperature(TableReader& table, std::string_view key, double celsius,
                       const ToolContext& context) {
    const auto text = [](double value) { return shown(value) + " °C"; };
    const auto report = [&](const std::string& why, const std::string& mend) {
        table.findings().error("out-of-range", table.find(key)->spot,
                               table.label(key) + " is " + text(celsius) + ", " + why, mend);
    };
    const Machine& machine = context.machine;
    if (celsius > machine.hottest_c)
        report("above `hottest` of [machine], " + text(machine.hottest_c),
               "lower it; raise `hottest` only if every tool stands it");
    if (celsius < machine.coldest_extrusion_c)
        report("below `coldest_extrusion` of [machine], " + text(machine.coldest_extrusion_c),
               "raise it, or lower `coldest_extrusion` if the filament allows it");
    if (!context.material || context.material->points.empty()) return;
    const double low = context.material->points.front().temperature_c;
    const double high = context.material->points.back().temperature_c;
    if (celsius < low || celsius > high)
        report("outside of what was measured of the material, " + shown(low) + " to " + text(high),
               "measure at that temperature and add a [[material.point]]");
}

}  // namespace durograde::plan
