#include "grade/grading.hpp"

#include <algorithm>

#include "grade/advice.hpp"
#include "grade/block_place.hpp"
#include "grade/order.hpp"
#include "grade/refusal.hpp"
#include "grade/warnings.hpp"
#include "grade/weigh.hpp"
#include "text/relay.hpp"

namespace durograde::grade {
namespace {

constexpr double progress_every_s = 5.0;

/// What stands as it is: all before the first bead that is graded, and all after the last bead.
program::Bounds find_bounds(const plan::Plan& plan, const Survey& survey, const Figures& figures) {
    const bool outside_graded = std::holds_alternative<plan::ToolNumber>(plan.sheet.outside);
    const auto is_graded = [&](const Survey::Early& early) {
        return outside_graded ||
               (plan.sheet.takes(early.label) &&
                survey.footprint->part_at(early.x_mm, early.y_mm) != region::outside);
    };
    const auto first = std::find_if(survey.early.begin(), survey.early.end(), is_graded);
    if (first == survey.early.end()) {
        throw refusal(figures.input_name, "no-part", "no bead lies in any of the plan's parts",
                      "correct sheet.place: durograde inspect lists where beads are");
    }
    return {first->approach_begin, survey.last_bead_end, survey.first_layers};
}

std::vector<int> tools_of(const std::vector<Visit>& visits, const Stations& stations) {
    std::vector<int> tools;
    tools.reserve(visits.size());
    for (const Visit& visit : visits) tools.push_back(stations[visit.station].tool);
    std::sort(tools.begin(), tools.end());
    tools.erase(std::unique(tools.begin(), tools.end()), tools.end());
    return tools;
}

}  // namespace

Grading::Grading(ProgramInput& input, const plan::Plan& plan, const Survey& survey, Sink& output,
                 Figures& figures)
    : plan_(plan),
      survey_(survey),
      figures_(figures),
      input_name_(input.name()),
      source_(input.second_reading()),
      bounds_(find_bounds(plan, survey, figures)),
      interpreter_(program::Dialect::of(plan), input.name()),
      assembler_(source_, interpreter_, bounds_),
      maker_(plan, survey, input.name()),
      timeline_(output),
      emitter_(plan, survey, timeline_, figures),
      sequence_(plan) {}

void Grading::run(const std::string& head) {
    timeline_.bytes().append(head);
    if (survey_.progress.any()) timeline_.keep_places(progress_every_s);
    // A count of lines that the program sets first stands before the first progress.
    if (!survey_.has_numbers) timeline_.mark(0.0);
    {
        Relay<program::Span> spans([this](program::Span& span) { return assembler_.next(span); },
                                   1);
        Relay<Work> works([&](Work& work) { return prepare(spans.next(), work); }, 1);
        Window window([&] { return works.next(); });
        while (Work* work = window.next()) write(*work, window);
    }
    finish();
}

// Three steps on three threads: lines to spans, spans to pieces, pieces to lines.
bool Grading::prepare(program::Span* span, Work& work) {
    if (span == nullptr) return false;
    std::swap(work.span, *span);
    if (plan_.block) check_block(*plan_.block, work.span, input_name_);
    maker_.make(work.span, work.pieces);
    work.stations = maker_.stations();
    work.first_station = first_station(work);
    work.cover.paint(work.span, survey_.bead_width_mm, *survey_.footprint);
    as_sliced_.add(work);
    return true;
}

/// A skirt or a brim comes before what it is printed for: the first part of a first layer.
int Grading::first_station(const Work& work) {
    if (work.pieces.empty()) return -1;
    if (work.span.layer != 0) part_is_begun_ = false;
    const bool waits =
        work.span.layer == 0 && !part_is_begun_ && work.pieces.front().part == region::outside;
    part_is_begun_ = part_is_begun_ ||
                     std::any_of(work.pieces.begin(), work.pieces.end(),
                                 [](const Piece& piece) { return piece.part != region::outside; });
    return waits ? work.pieces.front().station : -1;
}

void Grading::write(Work& work, const Window& window) {
    const program::Span& span = work.span;
    const bool epilogue = span.raw_lines > 0 && span.raw_begin >= bounds_.epilogue_begin;
    emitter_.begin_span(span, epilogue);
    if (!fewest_ && span.raw_end >= bounds_.prologue_end) {
        emitter_.begin_grading(span.entry.said);
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
    fewest_->add(span, tools_of(visits, work.stations));
}

void Grading::finish() {
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
        if (emitter_.flows().count(zone) > 0) entry.flow = emitter_.flows().at(zone);
        const plan::Tool* tool = plan_.find_tool(entry.tool);
        if (tool != nullptr) entry.melt_mm3 = tool->melt_mm3.value_or(0.0);
    }
    take_off_coasted(plan_, emitter_.coasted_mm(), figures_);
    weigh_start_and_end(plan_, figures_);
    figures_.open_air.add(as_sliced_.open_air());
    figures_.retractions_before = as_sliced_.retractions();
    for (const auto& [number, wear] : emitter_.wear()) {
        ToolFigures& tool = figures_.tools[number];
        tool.retractions = wear.retractions();
        tool.retracted_mm = wear.retracted_mm();
        tool.most_of_a_stretch = wear.most_of_a_stretch();
    }
    figures_.after_s = emitter_.now_s();
    figures_.travel_s = figures_.after_s - figures_.printing_s - figures_.swaps_s -
                        figures_.waiting_s - figures_.priming_s - figures_.start_and_end.printing_s;
    if (fewest_) {
        fewest_->finish();
        figures_.fewest_swaps = fewest_->fewest_of_whole_layers();
        figures_.fewest_swaps_parted = fewest_->fewest();
        figures_.barriers = fewest_->commands();
    }
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
    warn_of_sampling(plan_, maker_.sampled_zones(), figures_);
    warn_of_empty_zones(plan_, survey_, figures_);
    warn_of_bare_travel(plan_, figures_);
    warn_of_slow_flow(plan_, figures_);
    warn_of_barriers(figures_);
    warn_of_what_happened(plan_, {in_order_, emitter_.schedule().shortened()}, figures_);
}

}  // namespace durograde::grade
