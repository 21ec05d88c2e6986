#include "grade/grade.hpp"

#include <algorithm>
#include <optional>

#include "grade/block_advice.hpp"
#include "grade/cost.hpp"
#include "grade/gradient.hpp"
#include "grade/grading.hpp"
#include "grade/guessed_turns.hpp"
#include "grade/hardness_advice.hpp"
#include "grade/mark.hpp"
#include "grade/part_depth.hpp"
#include "grade/predict.hpp"
#include "grade/progress.hpp"
#include "grade/refusal.hpp"
#include "grade/set_points.hpp"
#include "grade/survey.hpp"
#include "grade/warnings.hpp"
#include "grade/zone_volumes.hpp"
#include "plan/set_points.hpp"
#include "program/numbering.hpp"
#include "region/parts.hpp"

namespace durograde::grade {
namespace {

/// Where the parts stand; names their islands.
region::Found place_parts(const plan::Plan& plan, const std::string& input, Survey& survey) {
    auto placed = region::place_parts(plan.sheet, *survey.footprint, survey.labels);
    if (auto* misplaced = std::get_if<region::Misplaced>(&placed)) {
        throw refusal(input, std::move(misplaced->code), std::move(misplaced->text),
                      std::move(misplaced->mend));
    }
    return std::get<region::Found>(std::move(placed));
}

/// What a tool primes at its spot would lie on the part.
void check_spots(const plan::Plan& plan, const Survey& survey) {
    for (const plan::Tool& tool : plan.tools) {
        const bool has_spot = tool.prime.has_value() && tool.prime->at_spot;
        if (!has_spot) continue;
        const int part = survey.footprint->part_at(tool.prime->x_mm, tool.prime->y_mm);
        if (part == region::outside) continue;
        throw Failure(Exit::bad_plan,
                      Diagnostic{.code = "prime-on-part",
                                 .text = "tool " + std::to_string(tool.number) +
                                         " primes at a spot that lies on part " +
                                         std::to_string(part) + " of this program",
                                 .mend = "move its prime.x and prime.y beside all parts",
                                 .place = tool.place});
    }
}

bool asks_for_thickness(const plan::Plan& plan) {
    return std::any_of(plan.zones.begin(), plan.zones.end(),
                       [](const plan::Zone& zone) { return zone.thinnest_mm.has_value(); });
}

/// The plan as it is graded by, once it is known how much of the print asks for what.
struct Answered {
    plan::Plan plan;
    Answers answers;
    std::vector<Wish> gradient;
};

Answered answer_wishes(const plan::Plan& plan, const Survey& survey, const std::string& input) {
    Answered answered;
    std::vector<double> volumes_mm3;
    if (rests_on_volumes(plan)) volumes_mm3 = zone_volumes(plan, survey, input);
    if (plan.gradient) answered.gradient = gradient_wishes(plan, survey, input);
    answered.answers = choose_set_points(plan, volumes_mm3, answered.gradient);
    answered.plan = plan::with_set_points(plan, answered.answers.set, answered.answers.steps);
    return answered;
}

/// What was asked for in hardness, and what came of it.
void tell_wishes(const plan::Plan& asked, const Answered& answered, Figures& figures) {
    warn_of_unmet_wishes(asked, figures);
    if (!asked.gradient) return;
    figures.gradient = gradient_figures(answered.plan, answered.gradient, answered.answers.steps);
    warn_of_steep_gradient(asked, figures);
}

Figures begin_figures(const plan::Plan& plan, const Survey& survey, const std::string& input) {
    Figures figures;
    figures.plan_name = plan.name;
    figures.plan_file = plan.file;
    figures.input_name = input;
    figures.input_bytes = survey.bytes;
    figures.input_lines = survey.lines;
    figures.layers = survey.layer_runs;
    figures.before_s = survey.time_s;
    figures.filament_area_mm2 = plan.machine.filament_area_mm2();
    figures.schedules_heat = plan.heat.has_value();
    figures.protects = plan.strings.has_value();
    figures.start_and_end.name = "start and end";
    figures.block.name = "purge block";
    for (const plan::Tool& tool : plan.tools) figures.tools[tool.number];
    figures.warnings = plan.warnings;
    return figures;
}

/// How much is left is known when all is done: the program is kept until then.
void grade_with_progress(ProgramInput& input, const plan::Plan& plan, const Survey& survey,
                         const std::string& head, Sink& sink, Figures& figures) {
    const File kept = nameless_file(temporary_folder());
    FileSink to_kept(kept.fd(), "temporary file");
    Grading grading(input, plan, survey, to_kept, figures);
    grading.run(head);
    figures.edits.inserted[static_cast<std::size_t>(Reason::progress)] += state_progress(
        kept.fd(), grading.places(), figures.after_s, survey.progress, survey.line_end, sink);
}

std::vector<std::optional<region::Thinnest>> measure_thickness(const plan::Plan& plan,
                                                               const Survey& survey) {
    if (!asks_for_thickness(plan))
        return std::vector<std::optional<region::Thinnest>>(plan.zones.size());
    return region::measure_thickness(plan, *survey.beads, *survey.footprint, survey.places).zones;
}

/// Nothing asked, nothing done: the bytes are passed on unread, whatever they are.
Figures copy_through(ProgramInput& input, const plan::Plan& plan, Sink& output) {
    Figures figures;
    figures.plan_name = plan.name;
    figures.plan_file = plan.file;
    figures.input_name = input.name();
    figures.nothing_asked = true;
    figures.warnings = plan.warnings;
    CountingSink counted(&output);
    input.copy_to(counted);
    input.check_unchanged();
    figures.edits.copied = figures.input_lines = figures.output_lines = counted.lines();
    figures.input_bytes = figures.output_bytes = counted.bytes();
    return figures;
}

void estimate_waste(const plan::Plan& plan, Figures& figures) {
    if (!plan.material.has_value()) return;
    const plan::Material& material = *plan.material;
    figures.waste_mass_g = (figures.prime_mm3 + figures.block_mm3 + figures.ooze_mm3 +
                            figures.restart_mm3 + figures.swap_lines_mm3) *
                           material.filament_density_g_cm3() * 1e-3;
    figures.price_per_kg = material.price_per_kg;
    figures.waste_cost = figures.waste_mass_g * 1e-3 * material.price_per_kg;
}

}  // namespace

Figures grade(ProgramInput& input, const plan::Plan& asked, Sink& output) {
    if (asked.asks_nothing()) return copy_through(input, asked, output);
    LineSource first = input.first_reading();
    Survey survey = grade::survey(
        first, program::Dialect::of(asked), asked.machine, asked.sheet,
        asked.uses_depth() || asks_for_thickness(asked) || asked.has_wishes() || asked.predict);
    const region::Found found = place_parts(asked, input.name(), survey);
    survey.places = found.places;
    std::optional<Answered> answered;
    if (asked.has_wishes()) answered = answer_wishes(asked, survey, input.name());
    const plan::Plan& plan = answered ? answered->plan : asked;
    check_spots(plan, survey);
    survey.depth = measure_depth(plan, input.name(), survey);
    Figures figures = begin_figures(plan, survey, input.name());
    warn_of_cut(survey, figures);
    warn_of_tool_words(plan, survey, figures);
    warn_of_coarse_depth(plan, survey, figures);
    warn_of_guessed_turns(plan, survey, found, figures);
    const std::vector<std::optional<region::Thinnest>> thinnest = measure_thickness(plan, survey);
    DigestSink digested(&output);
    CountingSink counted(&digested);
    std::optional<program::Numbering> numbering;
    if (survey.has_numbers) {
        numbering.emplace(counted, survey.first_number, survey.has_checksums);
    }
    Sink& sink = numbering ? static_cast<Sink&>(*numbering) : counted;
    const MarkStyle style = {survey.line_end, survey.has_byte_order_mark};
    const std::string answers =
        answered ? mark_answers(plan, answered->answers.steps, style) : std::string();
    const std::string head = mark_head(plan, input.digest(), style) + answers;
    try {
        if (survey.progress.any()) {
            grade_with_progress(input, plan, survey, head, sink, figures);
        } else {
            Grading(input, plan, survey, sink, figures).run(head);
        }
    } catch (const Failure& failure) {
        throw with_block_size(failure, input, plan, survey);
    }
    if (numbering) numbering->finish();
    if (counted.has_open_line()) counted.write(style.line_end);
    counted.write(mark_foot(counted.lines(), digested.digest(), style));
    figures.edits.inserted[static_cast<std::size_t>(Reason::declaration)] +=
        mark_lines + static_cast<std::uint64_t>(std::count(answers.begin(), answers.end(), '\n'));
    tell_thickness(plan, thinnest, figures);
    estimate_waste(plan, figures);
    if (answered) tell_wishes(asked, *answered, figures);
    if (plan.predict) figures.prediction = predict(plan, survey, figures);
    if (plan.cost) figures.cost_of_sheet = cost_of_sheet(*plan.cost, figures);
    input.check_unchanged();
    figures.output_bytes = counted.bytes();
    figures.output_lines = counted.lines();
    return figures;
}

}  // namespace durograde::grade
