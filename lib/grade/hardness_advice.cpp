#include "grade/hardness_advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "grade/set_points.hpp"
#include "plan/material_curve.hpp"

namespace durograde::grade {
namespace {

constexpr double met_shore_a = 1.0;  // what gauges are read to (common practice, no source)

/// What some tool has that is nearest to a hardness is off by.
double best_off(const plan::Plan& plan, double shore_a) {
    double best = 1e30;
    for (const Offer& offer : offers_of(plan).list)
        for (const Offer::Choice& choice : offer.choices)
            best = std::min(best, std::abs(choice.shore_a - shore_a));
    return best;
}

/// Whole degrees, away from what tools reach today.
std::string reach_advice(const plan::Plan& plan, double shore_a, int given_tool) {
    const plan::Curve curve(plan.material->points);
    const double celsius = std::round(curve.temperature_c(shore_a).value_or(0.0));
    const plan::Machine& machine = plan.machine;
    if (celsius > machine.hottest_c || celsius < machine.coldest_extrusion_c) {
        const bool is_hot = celsius > machine.hottest_c;
        const double end_c = is_hot ? machine.hottest_c : machine.coldest_extrusion_c;
        return fmt::format(
            "it takes {:g} °C, and [machine] allows {:g} °C, where the material has Shore A "
            "{:.1f}: "
            "ask for that",
            celsius, end_c, curve.hardness_shore_a(end_c));
    }
    const plan::Tool* nearest = nullptr;
    double away_c = 1e30;
    for (const plan::Tool& tool : plan.tools) {
        if (!tool.range_c) continue;
        const double away = std::max(tool.range_c->low - celsius, celsius - tool.range_c->high);
        const bool is_nearer = away < away_c || (away == away_c && tool.number == given_tool);
        if (!is_nearer) continue;
        away_c = away;
        nearest = &tool;
    }
    if (nearest == nullptr)
        return fmt::format("give a tool temperature = {:g}, or a `range` that holds it", celsius);
    return fmt::format("let a tool reach {:g} °C: range = [{:g}, {:g}] for tool {}", celsius,
                       std::min(nearest->range_c->low, celsius),
                       std::max(nearest->range_c->high, celsius), nearest->number);
}

/// With this many more set-points of the widest range, where they would stand; nothing where some
/// wish that could be met is not.
std::optional<std::vector<double>> stands(const plan::Plan& plan, const std::vector<double>& mm3,
                                          const plan::Range& range_c, int more) {
    plan::Plan other = plan;
    plan::Tool tool;
    for (const plan::Tool& known : plan.tools) tool.number = std::max(tool.number, known.number);
    tool.number += 1;
    tool.range_c = range_c;
    tool.set_points = more;
    other.tools.push_back(tool);
    const plan::Curve curve(plan.material->points);
    std::vector<double> all_c;
    for (const plan::SetPoint& one : choose_set_points(other, mm3).set) {
        const double wanted = *plan.zones[one.zone].hardness_shore_a;
        const double off = std::abs(curve.hardness_shore_a(one.temperature_c) - wanted);
        if (mm3[one.zone] > 0 && off > met_shore_a && best_off(plan, wanted) <= met_shore_a)
            return std::nullopt;
        all_c.push_back(one.temperature_c);
    }
    std::sort(all_c.begin(), all_c.end());
    all_c.erase(std::unique(all_c.begin(), all_c.end()), all_c.end());
    return all_c;
}

/// Tools enough for wishes that share one.
std::string share_advice(const plan::Plan& plan, const std::vector<double>& mm3) {
    plan::Range range_c{1e30, -1e30};
    for (const plan::Tool& tool : plan.tools) {
        if (!tool.range_c) continue;
        range_c = {std::min(range_c.low, tool.range_c->low),
                   std::max(range_c.high, tool.range_c->high)};
    }
    if (plan.gradient) return "add a tool, or ask for fewer different hardnesses";
    constexpr int most = 16;
    for (int more = 1; more <= most; ++more) {
        const auto all_c = stands(plan, mm3, range_c, more);
        if (!all_c) continue;
        std::string list;
        for (const double celsius : *all_c)
            list += (list.empty() ? "" : ", ") + fmt::format("{:g}", celsius);
        return fmt::format(
            "{} with range = [{:g}, {:g}], or as many more `set_points` of one, meet{} all that "
            "can "
            "be met: at {} °C",
            more == 1 ? "one more tool" : fmt::format("{} more tools", more), range_c.low,
            range_c.high, more == 1 ? "s" : "", list);
    }
    return "ask for fewer different hardnesses";
}

/// The other zones that are printed at the same set-point.
std::string shared_with(const Figures& figures, std::size_t zone) {
    std::string names;
    for (std::size_t i = 0; i < figures.zones.size(); ++i) {
        const ZoneFigures& other = figures.zones[i];
        if (i == zone || !other.asked_shore_a || other.tool != figures.zones[zone].tool ||
            other.temperature_c != figures.zones[zone].temperature_c)
            continue;
        names += (names.empty() ? ", as for `" : ", `") + other.name + "`";
    }
    return names;
}

}  // namespace

void warn_of_unmet_wishes(const plan::Plan& plan, Figures& figures) {
    std::vector<double> mm3;
    for (const ZoneFigures& zone : figures.zones) mm3.push_back(zone.volume_mm3);
    for (std::size_t i = 0; i < figures.zones.size(); ++i) {
        const ZoneFigures& zone = figures.zones[i];
        if (!zone.asked_shore_a || !(zone.volume_mm3 > 0)) continue;
        const double off = zone.hardness_shore_a - *zone.asked_shore_a;
        if (std::abs(off) <= met_shore_a) continue;
        const bool is_in_reach = best_off(plan, *zone.asked_shore_a) <= met_shore_a;
        figures.warnings.push_back(
            {.code = "unmet-hardness",
             .severity = Severity::warning,
             .text = fmt::format(
                 "zone `{}` asks for Shore A {:g} and is given {:.1f}, {:.1f} too {}: "
                 "tool {} stands at {:g} °C for it{}",
                 zone.name, *zone.asked_shore_a, zone.hardness_shore_a, std::abs(off),
                 off > 0 ? "hard" : "soft", zone.tool, zone.temperature_c, shared_with(figures, i)),
             .mend = is_in_reach ? share_advice(plan, mm3)
                                 : reach_advice(plan, *zone.asked_shore_a, zone.tool),
             .place = plan.zones[i].place});
    }
}

}  // namespace durograde::grade
