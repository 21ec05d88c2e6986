#include "grade/advice.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grade/shape_place.hpp"

namespace durograde::grade {
namespace {

constexpr double some_mm = 0.01;  // less is no bead
constexpr double bare_mm = 50.0;  // a few short gaps string nobody's sheet

void warn(Figures& figures, std::string code, std::string text, std::string mend) {
    figures.warnings.push_back({.code = std::move(code),
                                .severity = Severity::warning,
                                .text = std::move(text),
                                .mend = std::move(mend)});
}

}  // namespace

void warn_of_empty_zones(const plan::Plan& plan, const Survey& survey, Figures& figures) {
    for (std::size_t i = 0; i < plan.zones.size(); ++i) {
        if (figures.zones[i].length_mm >= some_mm) continue;
        const ShapePlace place = place_of_shapes(plan, plan.zones[i], survey);
        warn(figures, "empty-zone",
             fmt::format("zone `{}` holds no bead{}", plan.zones[i].name, place.text),
             place.mend.empty() ? "correct its condition, or take the zone out" : place.mend);
        figures.warnings.back().place = plan.zones[i].place;
    }
}

void warn_of_bare_travel(const plan::Plan& plan, Figures& figures) {
    const double crossed_mm = figures.open_air.all.bare_mm;
    if (plan.strings || crossed_mm < bare_mm) return;
    warn(figures, "bare-travel",
         fmt::format("hot tools cross {:.2f} m of open air with their filament not retracted, and "
                     "the plan has no [strings]",
                     crossed_mm * 1e-3),
         "add [strings], and `retract` to the tools, to have such travels protected");
}

void warn_of_slow_flow(const plan::Plan& plan, Figures& figures) {
    bool limits = std::any_of(plan.tools.begin(), plan.tools.end(),
                              [](const auto& tool) { return tool.max_flow_mm3_s.has_value(); });
    if (plan.material) limits = limits || plan.material->points.front().max_flow_mm3_s > 0;
    if (!limits || figures.printing_s <= 2 * figures.before_s) return;
    warn(figures, "slow-flow",
         fmt::format(
             "within `max_flow` the beads alone take {:.1f} times as long as the whole print "
             "as sliced",
             figures.printing_s / figures.before_s),
         "check the unit of `max_flow`: mm³ of filament a second");
}

void warn_of_barriers(Figures& figures) {
    if (figures.fewest_swaps_parted <= figures.fewest_swaps || figures.barriers.empty()) return;
    const BarrierFigures& most = figures.barriers.front();
    warn(figures, "barriers",
         fmt::format("no bead may be moved across `{}`, which stands amid layers {}: {} swaps are "
                     "made that would not be needed",
                     most.command, most.times == 1 ? "once" : fmt::format("{} times", most.times),
                     most.swaps),
         "where it only tells something, list it as `tells` in [machine]; where it only sets "
         "something, as `settings`, and state it before the first bead too; or slice without it");
}

}  // namespace durograde::grade
