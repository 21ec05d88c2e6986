#include "program/assembler.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "program/sure_moves.hpp"
#include "program/words.hpp"

namespace durograde::program {
namespace {

constexpr double same_height_mm = 1e-6;
// A span is cut where it grows past these, at the cost of a few more swaps: memory stays bounded.
constexpr std::size_t segment_limit = 150'000;
constexpr std::size_t item_limit = 40'000;
constexpr std::size_t settings_limit = 200'000;  // commands in force, of all its settings together
constexpr std::uint64_t raw_limit_bytes = std::uint64_t{1} << 20;

/// The command's own text: no line number, checksum or comment.
std::string_view command_text(std::string_view text, const grammar::Line& line) {
    return text.substr(line.body_begin, line.body_end - line.body_begin);
}

}  // namespace

void Span::clear() {
    items.clear();
    segments.clear();
    arcs.clear();
    strokes.clear();
    settings.clear();
    raw_steps.clear();
    text.clear();
    tail_item = 0;
    raw_begin = raw_end = text_begin = raw_lines = 0;
    in_order = false;
}

Assembler::Assembler(LineSource& source, Interpreter& interpreter, Bounds bounds)
    : source_(source), interpreter_(interpreter), bounds_(std::move(bounds)) {}

bool Assembler::read() {
    if (ended_ || !source_.next(raw_)) {
        ended_ = true;
        return false;
    }
    grammar::parse_line(raw_.text, line_);
    const bool outside =
        raw_.offset < bounds_.prologue_end || raw_.offset >= bounds_.epilogue_begin;
    if (outside || !is_surely_a_move(line_, interpreter_.state())) before_ = interpreter_.state();
    interpreter_.interpret(raw_, line_, step_);
    pending_ = true;
    return true;
}

/// Lines that stand as they are. A setting that is made for the first time does: what held before
/// it cannot be said again, so no bead may move across it. So does filament that is fed in place:
/// it belongs where it was laid.
bool Assembler::is_raw() const {
    if (raw_.offset < bounds_.prologue_end || raw_.offset >= bounds_.epilogue_begin) return true;
    if (step_.kind == StepKind::setting) return !settings_->replaces(step_);
    if (step_.kind == StepKind::fan) return !fan_named_;
    if (step_.kind == StepKind::filament) return step_.primes;
    return step_.kind == StepKind::pin;
}

bool Assembler::next(Span& span) {
    if (ended_ && !pending_) return false;
    begin(span);
    while (pending_ || read()) {
        if (belongs_to_next(span)) break;
        take(span);
        taken_end_ = raw_.end_offset();
        pending_ = false;
    }
    finish(span);
    return true;
}

void Assembler::begin(Span& span) {
    span.clear();
    span.settings.push_back(settings_);
    span.before_settings = span.entry_settings = settings_;
    span.before_raw = span.entry = interpreter_.state();
    in_stroke_ = false;
    if (carry_) {
        span.items = carried_;
        span.text_begin = carried_text_begin_;
        carried_.clear();
        for (Item& item : span.items) item.settings = 0;
        carry_ = false;
    } else if (pending_ || read()) {
        span.text_begin = raw_.offset;
    }
    source_.keep_from(span.text_begin);
    span.raw_begin = span.raw_end = span.text_begin;
}

/// Whether the pending line begins the next span instead of going on with this one.
bool Assembler::belongs_to_next(const Span& span) {
    const bool grouped = !span.items.empty() || !span.strokes.empty();
    if (is_raw()) return grouped || raw_.end_offset() - span.raw_begin > raw_limit_bytes;
    if (step_.kind != StepKind::bead) {
        return span.items.size() >= item_limit ||
               span.settings.size() * settings_->families() >= settings_limit;
    }
    // Amid a stroke, which would be cut in two, only where that does not end.
    if (span.segments.size() >= (in_stroke_ ? 2 : 1) * segment_limit) return true;
    if (in_stroke_) return false;
    const bool other_height = std::abs(step_.from.z - z_mm_) > same_height_mm;
    return other_height && !span.strokes.empty();
}

void Assembler::take(Span& span) {
    if (is_raw()) return take_raw(span);
    if (step_.kind == StepKind::bead) return take_bead(span);
    in_stroke_ = in_stroke_ && step_.kind == StepKind::progress;
    take_item(span);
}

void Assembler::take_raw(Span& span) {
    if (span.raw_lines == 0) span.before_raw = before_;
    if (step_.kind == StepKind::bead) interpreter_.check_warm(raw_);
    if (step_.kind == StepKind::bead && !in_stroke_) {
        layers_.begins(step_.from.z, is_on_bed());
        z_mm_ = step_.from.z;
    }
    in_stroke_ = step_.kind == StepKind::bead;
    if (step_.kind == StepKind::setting) {
        auto changed = std::make_shared<Settings>(*settings_);
        changed->apply(step_, command_text(raw_.text, line_), interpreter_.state().limits,
                       interpreter_.state().barriers);
        settings_ = std::move(changed);
        span.settings.back() = span.entry_settings = settings_;
    }
    span.raw_steps.push_back(step_);
    span.raw_end = raw_.end_offset();
    ++span.raw_lines;
    span.entry = interpreter_.state();
    if (step_.kind == StepKind::fan) fan_named_ = true;
    if (span.raw_end == bounds_.prologue_end) in_stroke_ = false;
}

void Assembler::take_bead(Span& span) {
    const bool begins = !in_stroke_;
    if (begins) begin_stroke(span);
    in_stroke_ = true;
    Stroke& stroke = span.strokes.back();
    Segment segment;
    segment.x = step_.to.x;
    segment.y = step_.to.y;
    segment.z = step_.to.z;
    segment.e_mm = step_.e_mm - (begins ? stroke.restarts_mm : 0.0);
    segment.e_word = step_.e_word;
    segment.feed_mm_min = step_.feed_mm_min;
    segment.text_at = static_cast<std::uint32_t>(raw_.offset - span.text_begin);
    segment.text_size = raw_.text.size() & 0x7fffff;
    segment.ending_size = raw_.ending.size() & 0xff;
    segment.states_feed = step_.has_feed_word ? 1 : 0;
    if (step_.e_end <= 0xffff) {
        segment.e_begin = static_cast<std::uint16_t>(step_.e_begin);
        segment.e_end = static_cast<std::uint16_t>(step_.e_end);
    } else {
        stroke.plain = false;
    }
    if (step_.is_arc) {
        segment.arc = static_cast<std::int32_t>(span.arcs.size());
        span.arcs.push_back(step_.arc);
    }
    stroke.plain = stroke.plain && step_.plain;
    if (step_.to.z != step_.from.z) {
        span.in_order = true;
        stroke.plain = false;
    }
    span.segments.push_back(segment);
    stroke.last_segment = static_cast<std::uint32_t>(span.segments.size());
    z_mm_ = step_.to.z;
}

/// A layer that stands on the bed has begun since this was asked last.
bool Assembler::is_on_bed() {
    const std::size_t before = next_first_layer_;
    const std::vector<std::uint64_t>& firsts = bounds_.first_layers;
    while (next_first_layer_ < firsts.size() && firsts[next_first_layer_] <= raw_.end_offset())
        ++next_first_layer_;
    return next_first_layer_ > before;
}

void Assembler::begin_stroke(Span& span) {
    const State& state = interpreter_.state();
    if (span.strokes.empty()) {
        layers_.begins(step_.from.z, is_on_bed());
        span.layer = layers_.layer();
        span.z_mm = step_.from.z;
    }
    Stroke stroke;
    stroke.first_segment = stroke.last_segment = static_cast<std::uint32_t>(span.segments.size());
    stroke.first_item = span.tail_item;
    stroke.last_item = span.tail_item = static_cast<std::uint32_t>(span.items.size());
    stroke.start = step_.from;
    stroke.retracted_mm = step_.retracted_mm;
    stroke.restarts_mm = step_.restarts_mm();
    stroke.firmware_retracted = step_.firmware_retracted;
    stroke.e_register =
        state.frame.e_relative ? 0.0 : state.e_register - step_.e_mm / state.frame.e_unit_mm();
    stroke.fan_duty = state.fan_duty;
    stroke.fan_named = state.fan_named;
    stroke.fan_said_at = state.fan_said_at;
    stroke.tool = state.tool;
    stroke.temperature_c = state.set_point_c(state.tool);
    stroke.speed_factor = state.speed_factor;
    stroke.settings = static_cast<std::uint32_t>(span.settings.size()) - 1;
    stroke.label = state.label;
    stroke.frame = state.frame;
    stroke.line = raw_.number;
    span.strokes.push_back(stroke);
}

void Assembler::take_item(Span& span) {
    const State& state = interpreter_.state();
    if (step_.kind == StepKind::setting) {
        auto changed = std::make_shared<Settings>(*settings_);
        changed->apply(step_, command_text(raw_.text, line_), interpreter_.state().limits,
                       interpreter_.state().barriers);
        if (!(*changed == *settings_)) {
            settings_ = std::move(changed);
            span.settings.push_back(settings_);
        }
    }
    Item item;
    item.kind = step_.kind;
    item.plain = step_.plain;
    item.is_arc = step_.is_arc;
    item.text_at = static_cast<std::uint32_t>(raw_.offset - span.text_begin);
    item.text_size = raw_.text.size() & 0xffffff;
    item.ending_size = raw_.ending.size() & 0xff;
    item.states_feed = step_.has_feed_word;
    item.sets_register = step_.sets_register;
    item.known = state.known;
    item.arc = step_.arc;
    item.e_begin = step_.e_begin;
    item.e_end = step_.e_end;
    item.settings = static_cast<std::uint32_t>(span.settings.size()) - 1;
    item.label = step_.label;
    item.frame = state.frame;
    item.from = step_.moves() ? step_.from : state.position;
    item.to = step_.moves() ? step_.to : state.position;
    item.e_mm = step_.e_mm;
    item.e_word = step_.e_word;
    item.surplus_mm = step_.surplus_mm;
    item.e_register = step_.moves() && step_.e_begin != step_.e_end && !state.frame.e_relative
                          ? state.e_register - step_.e_mm / state.frame.e_unit_mm()
                          : state.e_register;
    item.feed_mm_min = step_.feed_mm_min;
    item.fan_duty = step_.fan_duty;
    item.length_mm = step_.moves() ? step_.length_mm() : 0.0;
    item.firmware_retracts = state.firmware_retracted;
    item.line = raw_.number;
    span.items.push_back(item);
}

/// The approach of a stroke that begins the next layer goes with it. Progress told amid the last
/// stroke stays with that one.
void Assembler::carry_approach(Span& span) {
    const std::uint32_t last_bead = span.segments.empty() ? 0 : span.segments.back().text_at;
    const auto after = std::find_if(span.items.begin() + span.tail_item, span.items.end(),
                                    [&](const Item& item) { return item.text_at >= last_bead; });
    carried_.assign(after, span.items.end());
    span.items.erase(after, span.items.end());
    carried_text_begin_ = raw_.offset;
    if (carried_.empty()) return;
    const std::uint32_t shift = carried_.front().text_at;
    carried_text_begin_ = span.text_begin + shift;
    for (Item& item : carried_) item.text_at -= shift;
}

void Assembler::finish(Span& span) {
    std::uint64_t end = taken_end_;
    if (pending_ && step_.kind == StepKind::bead && !is_raw()) {
        carry_ = true;
        carry_approach(span);
        end = carried_text_begin_;
    }
    end = std::max(end, span.text_begin);
    span.text.assign(
        source_.bytes(span.text_begin, static_cast<std::size_t>(end - span.text_begin)));
}

}  // namespace durograde::program
