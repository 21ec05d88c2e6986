#include "grade/warnings.hpp"

#include <fmt/format.h>

#include "grade/wait_advice.hpp"

namespace durograde::grade {
namespace {

void warn(Figures& figures, std::string code, std::string text, std::string mend) {
    figures.warnings.push_back({.code = std::move(code),
                                .severity = Severity::warning,
                                .text = std::move(text),
                                .mend = std::move(mend)});
}

}  // namespace

void warn_of_what_happened(const plan::Plan& plan, const Happened& happened, Figures& figures) {
    if (happened.in_order) {
        warn(figures, "in-order",
             "height changes along some strokes, as in a spiral: these keep the order of the "
             "input "
             "and are swapped at every boundary",
             "slice without a spiral to have each layer grouped by tool");
    }
    if (happened.short_horizon) {
        warn(figures, "short-horizon",
             "more output fell into the heat horizon than is held back: some tools may be "
             "waited for",
             "lower heat.horizon");
    }
    for (const plan::Tool& tool : plan.tools) {
        const long most = figures.tools[tool.number].most_of_a_stretch;
        const long allowed = tool.travel.retract.value_or(plan::Retract{}).repeats;
        if (most <= allowed) continue;
        warn(figures, "ground-filament",
             fmt::format("one stretch of the filament of tool {} is retracted {} times; {} are "
                         "allowed",
                         tool.number, most, allowed),
             "soft filament may be ground there: raise strings.gap, shorten `retract`, or raise "
             "its `repeats`");
    }
    warn_of_long_waits(plan, figures);
}

void warn_of_sampling(const plan::Plan& plan, const std::vector<int>& sampled, Figures& figures) {
    for (const int zone : sampled) {
        warn(figures, "sampled-zone",
             fmt::format("how fast the condition of zone `{}` changes along a way is not known: "
                         "it is tried every {} mm, and stretches of beads shorter than that may "
                         "be missed",
                         plan.zones[static_cast<std::size_t>(zone)].name, plan.split.step_mm),
             "where that matters lower split.step, or write the condition without products, "
             "quotients and square roots of coordinates and distances");
    }
}

void warn_of_cut(const Survey& survey, Figures& figures) {
    if (!survey.ending.is_cut_short()) return;
    warn(figures, std::string(cut_short),
         survey.ending.amid_line
             ? "the program ends amid a line: it has been cut short"
             : "the program ends amid its beads, with heaters on and no end of its own: it seems "
               "to have been cut short",
         "slice or copy it again; where it is meant to end so, let it switch its heaters off");
    figures.warnings.back().place = {figures.input_name, survey.ending.last_line, 0};
}

void warn_of_tool_words(const plan::Plan& plan, const Survey& survey, Figures& figures) {
    std::string known;  // which the plan spells so already, for tools that it does not have
    for (const grammar::TemplatePart& part : plan.machine.write.select.parts)
        known += part.slot == grammar::Slot::text ? part.text : "{to}";
    for (const ToolWord& word : survey.tool_words) {
        if (word.spelling == known) continue;
        warn(figures, "unknown-selection",
             fmt::format(
                 "what `{}` does to the tool that it names is not known: {} of this "
                 "command, and none is taken to select a tool",
                 word.command,
                 word.lines == 1 ? std::string("one line") : fmt::format("{} lines", word.lines)),
             fmt::format("if it selects a tool, write machine.write.select = \"{}\"; if it changes "
                         "nothing, list it in machine.tells",
                         word.spelling));
        figures.warnings.back().place = {figures.input_name, word.first_line, 0};
    }
}

void warn_of_coarse_depth(const plan::Plan& plan, const Survey& survey, Figures& figures) {
    if (survey.depth && survey.depth->cell_mm() > plan.depth.cell_mm * 1.001) {
        warn(
            figures, "coarse-depth",
            fmt::format("depth is told on cells of {:.2f} mm, not of {:.2f} mm: the parts are many "
                        "or large",
                        survey.depth->cell_mm(), plan.depth.cell_mm),
            "lower depth.limit, or print fewer parts at once");
    }
}

void tell_thickness(const plan::Plan& plan,
                    const std::vector<std::optional<region::Thinnest>>& thinnest,
                    Figures& figures) {
    for (std::size_t i = 0; i < plan.zones.size(); ++i) {
        const plan::Zone& zone = plan.zones[i];
        figures.zones[i].thinnest = thinnest[i];
        if (!thinnest[i] || !zone.thinnest_mm || thinnest[i]->mm >= *zone.thinnest_mm) continue;
        const region::Thinnest& thin = *thinnest[i];
        warn(figures, "thin-zone",
             fmt::format(
                 "zone `{}` is {:.2f} mm thin over {:.1f} mm² around x {:.1f}, y {:.1f}, z {:.2f} "
                 "(part {}); {} mm are asked for",
                 zone.name, thin.mm, thin.area_mm2, thin.at.x, thin.at.y, thin.at.z, thin.part,
                 *zone.thinnest_mm),
             "thicken the part there, move the boundary of the zone, or lower its `thinnest`");
    }
}

}  // namespace durograde::grade
