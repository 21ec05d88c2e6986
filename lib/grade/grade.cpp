#include "grade/grade.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "grade/as_sliced.hpp"
#include "grade/block_place.hpp"
#include "grade/emitter.hpp"
#include "grade/mark.hpp"
#include "grade/order.hpp"
#include "grade/pieces.hpp"
#include "grade/progress.hpp"
#include "grade/survey.hpp"
#include "grade/swaps.hpp"
#include "grade/warnings.hpp"
#include "grade/window.hpp"
#include "program/assembler.hpp"
#include "program/numbering.hpp"
#include "region/parts.hpp"
#include "text/relay.hpp"

namespace durograde::grade {
namespace {

Failure bad_input(const std::string& file, std::string code, std::string text, std::string mend) {
    return {Exit::bad_input, Diagnostic{.code = std::move(code),
                                        .text = std::move(text),
                                        .mend = std::move(mend),
                                        .place = {file, 0, 0}}};
}

/// Where the parts stand; names their islands.
std::vector<plan::PartPlace> place_parts(const plan::Plan& plan, const std::string& input,
                                         Survey& survey) {
    auto placed = region::place_parts(plan.sheet, *survey.footprint, survey.labels);
    if (auto* misplaced = std::get_if<region::Misplaced>(&placed)) {
        throw bad_input(input, std::move(misplaced->code), std::move(misplaced->text),
                        std::move(misplaced->mend));
    }
    return std::get<std::vector<plan::PartPlace>>(std::move(placed));
}

/// How deep places lie in their parts, where the plan asks for it.
std::unique_ptr<region::Depth> measure_depth(const plan::Plan& plan, const std::string& input,
                                             const Survey& survey) {
    if (!plan.uses_depth()) return nullptr;
    auto depth = region::Depth::measure(plan.depth, *survey.beads, *survey.footprint,
                                        std::vector<bool>(survey.places.size(), true));
    if (auto* misplaced = std::get_if<region::Misplaced>(&depth)) {
        throw bad_input(input, std::move(misplaced->code), std::move(misplaced->text),
                        std::move(misplaced->mend));
    }
    return std::get<std::unique_ptr<region::Depth>>(std::move(depth));
}

bool asks_for_thickness(const plan::Plan& plan) {
    return std::any_of(plan.zones.begin(), plan.zones.end(),
                       [](const plan::Zone& zone) { return zone.thinnest_mm.has_value(); });
}

/// What stands as it is: all before the first bead that is graded, and all after the last bead.
program::Bounds find_bounds(const plan::Plan& plan, const std::string& input,
                            const Survey& survey) {
    const bool outside_graded = std::holds_alternative<plan::ToolNumber>(plan.sheet.outside);
    const auto is_graded = [&](const Survey::Early& early) {
        return outside_graded ||
               (plan.sheet.takes(early.label) &&
                survey.footprint->part_at(early.x_mm, early.y_mm) != region::outside);
    };
    const auto first = std::find_if(survey.early.begin(), survey.early.end(), is_graded);
    if (first == survey.early.end()) {
        throw bad_input(input, "no-part", "no bead lies in any of the plan's parts",
                        "correct sheet.place: durograde inspect lists where beads are");
    }
    return {first->approach_begin, survey.last_bead_end};
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
    figures.schedules_heat = plan.heat.has_value();
    for (const plan::Tool& tool : plan.tools) figures.tools[tool.number];
    figures.warnings = plan.warnings;
    return figures;
}

std::vector<int> tools_of(const std::vector<Visit>& visits, const Stations& stations) {
    std::vector<int> tools;
    tools.reserve(visits.size());
    for (const Visit& visit : visits) tools.push_back(stations[visit.station].tool);
    std::sort(tools.begin(), tools.end());
    tools.erase(std::unique(tools.begin(), tools.end()), tools.end());
    return tools;
}

constexpr double progress_every_s = 5.0;

/// One pass over the program: span by span through pieces and visits to lines.
class Grading {
  public:
    Grading(ProgramInput& input, const plan::Plan& plan, const Survey& survey, Sink& output,
            Figures& figures)
        : plan_(plan),
          survey_(survey),
          figures_(figures),
          input_name_(input.name()),
          source_(input.second_reading()),
          bounds_(find_bounds(plan, input.name(), survey)),
          interpreter_(program::Dialect::of(plan), input.name()),
          assembler_(source_, interpreter_, bounds_),
          maker_(plan, survey, input.name()),
          timeline_(output),
          emitter_(plan, survey, timeline_, figures),
          sequence_(plan) {}

    void run(const std::string& head) {
        timeline_.bytes().append(head);
        if (survey_.progress.any()) timeline_.keep_places(progress_every_s);
        timeline_.mark(0.0);
        {
            Relay<program::Span> spans(
                [this](program::Span& span) { return assembler_.next(span); }, 1);
            Relay<Work> works([&](Work& work) { return prepare(spans.next(), work); }, 1);
            Window window([&] { return works.next(); });
            while (Work* work = window.next()) write(*work, window);
        }
        finish();
    }

    /// Where progress may be stated.
    [[nodiscard]] const std::vector<heat::Timeline::Mark>& places() const {
        return timeline_.places();
    }

  private:
    // Three steps on three threads: lines to spans, spans to pieces, pieces to lines.
    bool prepare(program::Span* span, Work& work) {
        if (span == nullptr) return false;
        std::swap(work.span, *span);
        if (plan_.block) check_block(*plan_.block, work.span, input_name_);
        maker_.make(work.span, work.pieces);
        work.stations = maker_.stations();
        work.cover.paint(work.span, survey_.bead_width_mm, *survey_.footprint);
        as_sliced_.add(work);
        return true;
    }

    void write(Work& work, const Window& window) {
        const program::Span& span = work.span;
        const bool epilogue = span.raw_lines > 0 && span.raw_begin >= bounds_.epilogue_begin;
        emitter_.begin_span(span, epilogue);
        if (!fewest_ && span.raw_end >= bounds_.prologue_end) {
            emitter_.begin_grading();
            fewest_.emplace(emitter_.tool_number());
        }
        if (!fewest_ || epilogue) return;
        const std::vector<int> order = sequence_.order(
            window.needs(), window.stations(), {emitter_.ready_station(), emitter_.tool_number()});
        const std::vector<Visit> visits =
            order_pieces(span, work.pieces, order, emitter_.ready_station(),
                         emitter_.writer().position(), work.cover, plan_);
        emitter_.write_visits(work, visits);
        in_order_ = in_order_ || span.in_order;
        fewest_->add_layer(tools_of(visits, work.stations));
    }

    void finish() {
        emitter_.finish(interpreter_.state(), assembler_.settings());
        timeline_.release_all();
        figures_.parts = maker_.figures().parts;
        figures_.zones = maker_.figures().zones;
        figures_.outside = maker_.figures().outside;
        figures_.cuts = maker_.figures().cuts;
        for (const auto& [zone, seconds] : emitter_.zone_seconds()) {
            ZoneFigures& entry = zone == region::no_zone
                                     ? figures_.outside
                                     : figures_.zones[static_cast<std::size_t>(zone)];
            entry.printing_s = seconds;
            entry.flow = emitter_.flows().at(zone);
            const plan::Tool* tool = plan_.find_tool(entry.tool);
            if (tool != nullptr) entry.melt_mm3 = tool->melt_mm3.value_or(0.0);
        }
        figures_.open_air.add(as_sliced_.open_air());
        figures_.retractions_before = as_sliced_.retractions();
        for (const auto& [number, wear] : emitter_.wear()) {
            ToolFigures& tool = figures_.tools[number];
            tool.retractions = wear.retractions();
            tool.retracted_mm = wear.retracted_mm();
            tool.most_of_a_stretch = wear.most_of_a_stretch();
        }
        figures_.after_s = emitter_.now_s();
        figures_.travel_s =
            figures_.after_s - figures_.printing_s - figures_.swaps_s - figures_.waiting_s;
        figures_.fewest_swaps = fewest_ ? fewest_->fewest() : 0;
        figures_.tools.erase(program::unknown_tool);
        for (const auto& [number, hours] : emitter_.schedule().hours()) {
            ToolFigures& tool = figures_.tools[number];
            tool.idle_s = hours.idle_hot_s;
            tool.standby_s = hours.standby_s;
            tool.off_s = hours.off_s;
            tool.wait_s = hours.wait_s;
            figures_.ooze_mm3 += hours.ooze_mm3;
            const heat::History history = emitter_.schedule().history(number, figures_.after_s);
            tool.heat = history.points();
            tool.heat_is_thinned = history.is_thinned();
        }
        figures_.edits.inserted[static_cast<std::size_t>(Reason::heat)] +=
            emitter_.schedule().commands();
        warn_of_what_happened(plan_, {in_order_, emitter_.schedule().shortened()}, figures_);
    }

    const plan::Plan& plan_;
    const Survey& survey_;
    Figures& figures_;
    std::string input_name_;
    LineSource source_;
    program::Bounds bounds_;
    program::Interpreter interpreter_;
    program::Assembler assembler_;
    PieceMaker maker_;
    AsSliced as_sliced_;
    heat::Timeline timeline_;
    Emitter emitter_;
    Sequence sequence_;
    std::optional<FewestSwaps> fewest_;
    bool in_order_ = false;
};

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
    figures.waste_mass_g = (figures.prime_mm3 + figures.block_mm3 + figures.ooze_mm3) *
                           material.points.front().density_g_cm3 * 1e-3;
    figures.waste_cost = figures.waste_mass_g * 1e-3 * material.price_per_kg;
}

}  // namespace

Figures grade(ProgramInput& input, const plan::Plan& plan, Sink& output) {
    if (plan.asks_nothing()) return copy_through(input, plan, output);
    LineSource first = input.first_reading();
    Survey survey = grade::survey(first, program::Dialect::of(plan), plan.machine, plan.sheet,
                                  plan.uses_depth() || asks_for_thickness(plan));
    survey.places = place_parts(plan, input.name(), survey);
    survey.depth = measure_depth(plan, input.name(), survey);
    Figures figures = begin_figures(plan, survey, input.name());
    warn_of_coarse_depth(plan, survey, figures);
    const std::vector<std::optional<region::Thinnest>> thinnest = measure_thickness(plan, survey);
    DigestSink digested(&output);
    CountingSink counted(&digested);
    std::optional<program::Numbering> numbering;
    if (survey.has_numbers) {
        numbering.emplace(counted, survey.first_number, survey.has_checksums);
    }
    Sink& sink = numbering ? static_cast<Sink&>(*numbering) : counted;
    const MarkStyle style = {survey.line_end, survey.has_byte_order_mark};
    const std::string head = mark_head(plan, input.digest(), style);
    if (survey.progress.any()) {
        grade_with_progress(input, plan, survey, head, sink, figures);
    } else {
        Grading(input, plan, survey, sink, figures).run(head);
    }
    if (numbering) numbering->finish();
    if (counted.has_open_line()) counted.write(style.line_end);
    counted.write(mark_foot(counted.lines(), digested.digest(), style));
    figures.edits.inserted[static_cast<std::size_t>(Reason::declaration)] += mark_lines;
    tell_thickness(plan, thinnest, figures);
    estimate_waste(plan, figures);
    input.check_unchanged();
    figures.output_bytes = counted.bytes();
    figures.output_lines = counted.lines();
    return figures;
}

}  // namespace durograde::grade
