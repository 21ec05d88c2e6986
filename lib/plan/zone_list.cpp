#include "plan/zone_list.hpp"

#include <algorithm>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "plan/card.hpp"
#include "plan/material_curve.hpp"
#include "plan/sections.hpp"
#include "plan/travel.hpp"
#include "plan/wishes.hpp"

namespace durograde::plan {
namespace {

using grammar::Op;

bool is_literally_true(const grammar::Condition& condition) {
    return condition.steps.size() == 1 && condition.steps[0].op == Op::truth &&
           condition.steps[0].number != 0.0;
}

void check_names(std::vector<TableReader>& tables, const std::vector<Zone>& zones) {
    std::map<std::string, Spot> first;
    for (std::size_t i = 0; i < tables.size(); ++i) {
        const Entry* const name = find_entry(tables[i].table(), "name");
        if (name == nullptr) continue;
        const auto [same, is_new] = first.try_emplace(zones[i].name, name->value.spot);
        if (is_new) continue;
        tables[i].findings().error("duplicate", name->value.spot,
                                   "a zone `" + zones[i].name.substr(0, 40) + "` is defined at " +
                                       tables[i].findings().reference(same->second) + " already",
                                   "give each zone a name of its own");
    }
}

/// Warns of zones behind one that holds everywhere, or where no zone does.
void check_cover(std::vector<TableReader>& tables, const std::vector<Zone>& zones,
                 bool has_gradient, Findings& findings) {
    const auto all = std::find_if(zones.begin(), zones.end(),
                                  [](const Zone& zone) { return is_literally_true(zone.where); });
    if (all == zones.end()) {
        if (has_gradient) return;
        findings.warning(
            "open-end", tables.back().table().spot,
            "no zone holds everywhere: a bead in a gap between the zones will be refused",
            "end with a zone where = \"true\"");
        return;
    }
    const auto position = static_cast<std::size_t>(all - zones.begin());
    if (has_gradient)
        findings.warning("unreachable-zone", tables[position].table().spot,
                         "this zone holds everywhere, so that nothing is left for [gradient]",
                         "narrow its `where`, or take [gradient] out");
    for (std::size_t i = position + 1; i < zones.size(); ++i)
        findings.warning("unreachable-zone", tables[i].table().spot,
                         "this zone is never reached: the one at " +
                             findings.reference(tables[position].table().spot) +
                             " holds everywhere",
                         "move it before that one; the first zone that holds wins");
}

/// Where pieces of two zones join, for one is too short, they are printed alike: the first key in
/// which they would not be, or nothing.
std::string_view differing_key(const Zone& a, const Zone& b, const Plan& plan) {
    const auto band = [](const Zone& zone) {
        const Range flow = zone.steady_flow_mm3_s.value_or(Range{});
        return std::pair{flow.low, flow.high};
    };
    if (band(a) != band(b)) return "steady_flow";
    const Tool& tool = *find_tool(plan.tools, std::get<ToolNumber>(a.tool).number);
    return differing_key(a.travel.value_or(tool.travel), b.travel.value_or(tool.travel));
}

/// Zones that ask for a hardness may share any tool that stands at a temperature of its own: what
/// another zone has changed of it would be theirs, too.
void check_shared(std::vector<TableReader>& tables, const std::vector<Zone>& zones,
                  const Plan& plan) {
    const auto asks = [](const Zone& zone) { return zone.hardness_shore_a.has_value(); };
    if (!plan.gradient && std::none_of(zones.begin(), zones.end(), asks)) return;
    for (std::size_t i = 0; i < zones.size(); ++i) {
        const bool changes = zones[i].steady_flow_mm3_s || zones[i].travel;
        if (!changes || !std::holds_alternative<ToolNumber>(zones[i].tool)) continue;
        tables[i].findings().error(
            "conflict", tables[i].table().spot,
            "zone `" + zones[i].name +
                "` changes how its tool travels or flows, and places that ask for a hardness may "
                "share that tool",
            "say it in the [[tool]]");
    }
}

void check_likeness(std::vector<TableReader>& tables, const std::vector<Zone>& zones,
                    const Plan& plan) {
    const auto heat = [&](const Zone& zone) {
        const auto* tool = std::get_if<ToolNumber>(&zone.tool);
        const bool known = tool != nullptr && find_tool(plan.tools, tool->number) != nullptr;
        return known ? std::pair{tool->number, plan.temperature_c(zone)} : std::pair{-1, 0.0};
    };
    for (std::size_t i = 1; i < zones.size(); ++i) {
        for (std::size_t before = 0; before < i; ++before) {
            if (heat(zones[i]).first < 0 || heat(zones[i]) != heat(zones[before])) continue;
            const std::string_view key = differing_key(zones[i], zones[before], plan);
            if (key.empty()) continue;
            return tables[i].findings().error(
                "conflict", tables[i].table().spot,
                "zones `" + zones[before].name + "` and `" + zones[i].name +
                    "` have one tool at one temperature and not one `" + std::string(key) + "`",
                "write the same `" + std::string(key) + "` into both");
        }
    }
}

/// The softest zone of a flexible contact part is to be four beads of 0.4 mm thick where the plan
/// says nothing: two load-carrying walls (of two beads each; from memory) that do not share a bead.
/// It is about the 1.524 mm (60 thousandths of an inch) that such parts are given (common practice,
/// no source).
constexpr double usual_thinnest_mm = 4 * 0.4;

/// What a zone is printed at, or would best be, where it asks for a hardness; 0: not known.
double heat_of(const Zone& zone, const Plan& plan) {
    if (zone.hardness_shore_a && plan.material && make_a_curve(plan.material->points))
        return Curve(plan.material->points).temperature_c(*zone.hardness_shore_a).value_or(0.0);
    const auto* tool = std::get_if<ToolNumber>(&zone.tool);
    const bool is_known = tool != nullptr && find_tool(plan.tools, tool->number) != nullptr;
    return is_known ? plan.temperature_c(zone) : 0.0;
}

/// The hottest zone is the softest: the filament foams more the hotter it is extruded.
void set_usual_thickness(std::vector<Zone>& zones, const Plan& plan) {
    Zone* softest = nullptr;
    double hottest_c = 0.0;
    for (Zone& zone : zones) {
        const double celsius = heat_of(zone, plan);
        if (celsius <= hottest_c) continue;
        hottest_c = celsius;
        softest = &zone;
    }
    if (softest != nullptr && !softest->thinnest_mm) softest->thinnest_mm = usual_thinnest_mm;
}

}  // namespace

void judge_zones(std::vector<TableReader>& tables, std::vector<Zone>& zones, const Plan& plan,
                 Findings& findings) {
    check_names(tables, zones);
    check_likeness(tables, zones, plan);
    check_shared(tables, zones, plan);
    set_usual_thickness(zones, plan);
    if (!zones.empty()) check_cover(tables, zones, plan.gradient.has_value(), findings);
    const Spot spot = tables.empty() ? Spot{} : tables.front().table().spot;
    limit_wishes(zones, plan, spot, findings);
}

}  // namespace durograde::plan
