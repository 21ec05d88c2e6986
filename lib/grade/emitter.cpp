#include "grade/emitter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "plan/travels.hpp"
#include "text/number.hpp"

namespace durograde::grade {

using program::Span;
using program::Stroke;

namespace {

constexpr double mark_every_s = 0.5;
constexpr std::uint64_t advance_every_bytes = 65'536;

/// After homing, say, only the input's own lines lead to where it is not known to be.
bool is_place_known(const std::vector<program::Item>& items) {
    if (items.empty()) return true;
    const std::array<bool, 3>& known = items.back().known;
    return known[0] && known[1] && known[2];
}

double top_of(const Span& span) {
    double top_mm = span.z_mm;
    if (!span.in_order) return top_mm;
    for (const program::Segment& segment : span.segments) top_mm = std::max(top_mm, segment.z);
    return top_mm;
}

}  // namespace

const plan::Travel Emitter::no_travel{};

Emitter::Emitter(const plan::Plan& plan, const Survey& survey, heat::Timeline& timeline,
                 Figures& figures)
    : plan_(plan),
      survey_(survey),
      timeline_(timeline),
      figures_(figures),
      writer_(timeline.bytes(), survey.decimals, survey.line_end),
      clock_(plan.machine),
      schedule_(plan, timeline, survey.line_end),
      area_mm2_(plan.machine.filament_area_mm2()),
      some_tool_hops_(plan::hops(plan)) {
    if (plan.block) block_.emplace(*plan.block, survey.bead_width_mm);
    if (plan.machine.write.swap_says_numbers()) {
        swap_reading_.emplace(plan);
        heights_.emplace(plan.machine.reach_x, plan.machine.reach_y);
    }
    take_tool(0);
    tool_in_doubt_ = plan.tools.size() > 1;
}

void Emitter::take_tool(int number) {
    tool_ = number;
    if (number >= 0) known_tool_ = number;
    tool_in_doubt_ = false;
    current_tool_ = plan_.find_tool(number);
    tool_figures_ = &figures_.tools[number];
    const plan::Travel*& travel = travels_[number];
    if (travel == nullptr) travel = current_tool_ != nullptr ? &current_tool_->travel : &no_travel;
    travel_ = travel;
}

/// From here on the tool goes as is said of the beads of `piece`.
void Emitter::take_travel(const Piece& piece) {
    if (current_tool_ == nullptr) return;
    travel_ = &plan_.travel(*current_tool_, stations_[piece.station].temperature_c);
    travels_[tool_] = travel_;
}

void Emitter::begin_span(const Span& span, bool epilogue) {
    if (span.raw_lines == 0) {
        // The same layer goes on, or the next one begins: strokes are counted anew.
        last_stroke_ = last_stroke_ == out_of_step ? out_of_step : -1;
        return;
    }
    if (grading_) {
        sync(span.before_raw, span.before_settings, rejoin_before(span.raw_steps, epilogue));
    }
    if (grading_ && epilogue) end_grading();
    account_raw(span);
    std::string_view raw = span.raw_text();
    // The mark stands before the declaration already: it must stay the first thing in the file.
    if (span.raw_begin == 0 && survey_.has_byte_order_mark) raw.remove_prefix(3);
    copy_raw(span, raw);
    adopt(span);
    settings_ = span.entry_settings;
    clock_.adopt(settings_->limits());
    if (!grading_) {
        for (const auto& [number, drawn] : span.entry.put_away) {
            retracted_mm_[number] = drawn.mm;
            firmware_retracted_[number] = drawn.by_firmware;
        }
    }
    take_retraction(tool_, span.entry);
    // The input's own is that of the tool put away.
    if (tool_ < 0) take_retraction(known_tool_, span.entry);
    last_stroke_ = -1;
    mark();
}

void Emitter::begin_grading(const program::Said& said) {
    grading_ = true;
    insert(Reason::frame, [&] { writer_.say_unsaid(said); });
    const heat::Timeline::Mark here = timeline_.mark(clock_.now_s());
    schedule_.begin(here);
    for (const plan::Tool& tool : plan_.tools) {
        if (tool.number != tool_) schedule_.leave(tool.number, here);
    }
}

void Emitter::finish(const program::State& state,
                     const std::shared_ptr<const program::Settings>& settings) {
    if (grading_) sync(state, settings, {true, true, true});
    end_grading();
}

void Emitter::end_grading() {
    schedule_.finish(timeline_.mark(clock_.now_s()));
    grading_ = false;
}

void Emitter::mark() {
    const double now = clock_.now_s();
    timeline_.mark(now);
    marked_s_ = now;
    if (timeline_.position() - advanced_at_ < advance_every_bytes) return;
    advanced_at_ = timeline_.position();
    if (grading_) {
        schedule_.advance(now);
    } else {
        timeline_.release(now);
    }
}

void Emitter::mark_if_due() {
    if (clock_.settled_s() - marked_s_ > mark_every_s) mark();
}

void Emitter::write_visits(Work& work, const std::vector<Visit>& visits) {
    const Span& span = work.span;
    cover_ = &work.cover;
    stations_ = work.stations;
    const double began_s = clock_.now_s();
    const long swaps_before = figures_.swaps;
    raise_block(span);
    // Increments add up to the same height but for their rounding.
    constexpr double same_height_mm = 1e-6;
    may_hit_all_ = span.z_mm <= highest_mm_ + same_height_mm;
    if (!span.strokes.empty()) layer_z_mm_ = span.z_mm;
    for (std::size_t v = 0; v < visits.size(); ++v) {
        const std::vector<std::uint32_t>& pieces = visits[v].pieces;
        const Piece* after =
            v + 1 < visits.size() ? &work.pieces[visits[v + 1].pieces.front()] : nullptr;
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            const Piece* next = i + 1 < pieces.size() ? &work.pieces[pieces[i + 1]] : after;
            write_piece(span, work.pieces[pieces[i]], next);
        }
        ++figures_.tools[stations_[visits[v].station].tool].visits;
    }
    if (!span.strokes.empty()) highest_mm_ = std::max(highest_mm_, top_of(span));
    finish_tail(span);
    cover_ = nullptr;
    if (!span.strokes.empty())
        account_layer(span, work.pieces.size(), began_s, figures_.swaps - swaps_before);
}

/// The lines after the last stroke: they stand where the output ends as the input does.
void Emitter::finish_tail(const Span& span) {
    const auto end = static_cast<std::uint32_t>(span.items.size());
    note_inputs_retractions(span, span.tail_item, end);
    const bool in_step = last_stroke_ + 1 == static_cast<std::int64_t>(span.strokes.size());
    if (in_step && (!is_place_known(span.items) || may_stand(span, span.tail_item, end))) {
        keep_items(span, span.tail_item, end);
    } else {
        drop_items(span, span.tail_item, end);
        last_stroke_ = out_of_step;
    }
}

void Emitter::write_piece(const Span& span, const Piece& piece, const Piece* next) {
    const Stroke& stroke = span.strokes[piece.stroke];
    const bool goes_on = writer_.is_at(piece.entry());
    approach(span, piece);
    say_settings(span.settings[stroke.settings],
                 {stroke.fan_duty, stroke.fan_said_at, stroke.fan_named}, stroke.label);
    clock_.set_speed_factor(stroke.speed_factor);
    const double began_s = clock_.now_s();
    flow_spread_ = &flows_[piece.zone];
    // A bead printed while retracted, as the input had it, uses up what was to be restarted.
    restarts_mm_ = std::exchange(retracted_mm_[tool_], 0.0);
    firmware_retracted_[tool_] = false;
    origin_ = origin_of(piece);
    is_place_lost_ = false;
    last_stroke_ = piece.is_whole() && !piece.reversed ? piece.stroke : out_of_step;
    take_travel(piece);
    if (travel_->coast_mm3 && will_protect(span, piece, next)) {
        write_coasting(span, piece);
    } else {
        piece.reversed ? write_beads_back(span, piece) : write_beads(span, piece);
    }
    // Whichever tool printed it: the next one may be another that hops.
    const bool covers = some_tool_hops_ && !may_hit_all_;
    if (covers || heights_) print(span, piece, covers);
    wipe_path_.add(span, piece, goes_on, travel_->wipe ? travel_->wipe->length_mm : 0.0);
    account_piece(piece, clock_.now_s() - began_s);
    mark();
}

}  // namespace durograde::grade
