#include "plan/wishes.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>
#include <string>
#include <utility>

#include "plan/card.hpp"
#include "plan/set_points.hpp"

namespace durograde::plan {
namespace {

std::string tenth(double value) {
    return shown(std::round(10 * value) / 10);
}

}  // namespace

bool can_ask_for_hardness(const Plan& plan, const Spot& spot, Findings& findings) {
    if (!plan.material || plan.material->points.size() < 2 ||
        !(plan.material->points.front().hardness_shore_a > 0)) {
        findings.error(
            "no-hardness", spot,
            "a hardness is asked for, and the plan has no [material] whose points have one",
            "measure `hardness` at each [[material.point]]");
        return false;
    }
    if (plan.tools.empty()) {
        findings.error("no-tool-for-zone", spot,
                       "a hardness is asked for, and there is no [[tool]]",
                       "add a [[tool]] with a `range` or a `temperature`");
        return false;
    }
    if (!make_a_curve(plan.material->points)) return false;  // reported already
    const auto twice = find_twice_hard(plan.material->points);
    if (!twice) return true;
    findings.error("twice-as-hard", spot,
                   "a hardness is asked for, and the material has Shore A " +
                       tenth(twice->hardness_shore_a) + " at " + tenth(twice->colder_c) +
                       " °C and at " + tenth(twice->hotter_c) + " °C",
                   "measure again, or write the temperature or the tool that is meant");
    return false;
}

std::optional<double> read_wish(TableReader& zone, const Plan& plan) {
    const auto wanted = zone.optional_number("hardness", {0.0, 100.0, false});
    if (!wanted) return std::nullopt;
    const Spot& spot = zone.find("hardness")->spot;
    if (!can_ask_for_hardness(plan, spot, zone.findings())) return std::nullopt;
    const double first = plan.material->points.front().hardness_shore_a;
    const double last = plan.material->points.back().hardness_shore_a;
    const auto [least, most] = std::minmax(first, last);
    if (*wanted < least || *wanted > most)
        zone.findings().error("out-of-range", spot,
                              zone.label("hardness") + " is " + shown(*wanted) +
                                  ", outside of what was measured of the material, Shore A " +
                                  shown(least) + " to " + shown(most),
                              "ask for one within, or measure where the material has it and add a "
                              "[[material.point]]");
    return wanted;
}

void limit_wishes(const std::vector<Zone>& zones, const Plan& plan, const Spot& spot,
                  Findings& findings) {
    std::set<double> wishes;
    for (const Zone& zone : zones)
        if (zone.hardness_shore_a) wishes.insert(*zone.hardness_shore_a);
    std::map<std::pair<double, double>, std::size_t> set_points;
    for (const Tool& tool : plan.tools) {
        if (tool.range_c)
            set_points[{tool.range_c->low, tool.range_c->high}] +=
                static_cast<std::size_t>(tool.set_points);
    }
    // Steps of the choice: wishes cut off after wishes, in each state of what is used up.
    constexpr double most_steps = 2e7, most_states = 1e6;
    const std::size_t all = wishes.size() + (plan.gradient ? gradient_bins : 0);
    const auto count = static_cast<double>(all);
    double states = 1.0;
    for (const auto& [range, most] : set_points)
        states *= static_cast<double>(std::min(most, all)) + 1;
    const double steps = states * count * count * static_cast<double>(set_points.size());
    if (steps <= most_steps && states * count <= most_states) return;
    findings.error("too-many", spot,
                   std::to_string(all) + " different hardnesses are asked of tools with " +
                       std::to_string(set_points.size()) +
                       " different ranges: too many ways to share them out",
                   "give tools that are alike the same `range`, or zones the same `hardness`");
}

}  // namespace durograde::plan
