#include "grade/survey_reader.hpp"

#include <algorithm>

#include "grade/mark.hpp"
#include "grade/refusal.hpp"
#include "text/file_kind.hpp"

namespace durograde::grade {

using program::StepKind;

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// Files that are named like programs and are none.
void check_begin(const LineSource& source, const RawLine& raw) {
    if (is_marked(raw.text)) {
        throw refusal(source.name(), "graded-already", "this program has been graded already",
                      "give the program as it was sliced");
    }
    const std::string_view line = source.bytes(raw.offset, raw.end_offset() - raw.offset);
    const std::optional<FileKind> kind = foreign_kind(line);
    if (!kind) return;
    throw refusal(source.name(), "not-a-program", "this looks like " + std::string(kind->name),
                  std::string(kind->mend));
}

constexpr std::size_t batch_lines = 2048;

}  // namespace

bool SurveyReader::fill(SeenLines& batch) {
    batch.lines.clear();
    batch.arcs.clear();
    batch.limits.clear();
    while (batch.lines.size() < batch_lines) {
        if (!source_.next(raw_)) return !batch.lines.empty();
        source_.keep_from(raw_.offset);
        if (raw_.number <= 2) check_begin(source_, raw_);
        grammar::parse_line(raw_.text, line_);
        check_comment();
        interpret();
        note_style();
        ending_.see(raw_, line_, step_);
        add(batch);
    }
    return true;
}

void SurveyReader::finish() {
    const program::Frame& frame = interpreter_.state().frame;
    s_.bytes = raw_.end_offset();
    s_.lines = raw_.number;
    s_.ending = ending_.ending(raw_, interpreter_.state());
    s_.tool_words = tool_words_.take();
    s_.inch = frame.inch;
    s_.relative = frame.relative;
}

void SurveyReader::add(SeenLines& batch) {
    const program::State& state = interpreter_.state();
    SeenLine& seen = batch.lines.emplace_back();
    seen.kind = step_.kind;
    seen.firmware_retracted = state.firmware_retracted;
    seen.e_relative = state.frame.e_relative;
    seen.tool = state.tool;
    seen.label = state.label;
    if (step_.is_arc) {
        seen.arc = static_cast<std::int32_t>(batch.arcs.size());
        batch.arcs.push_back(step_.arc);
    }
    if (step_.kind == StepKind::setting) {
        seen.limits = static_cast<std::int32_t>(batch.limits.size());
        batch.limits.push_back(state.limits);
    }
    seen.from = step_.from;
    seen.to = step_.to;
    seen.primes = step_.primes;
    seen.e_mm = step_.e_mm - (step_.kind == StepKind::bead ? step_.restarts_mm() : 0.0);
    seen.feed_mm_min = step_.feed_mm_min;
    seen.dwell_s = step_.dwell_s;
    seen.speed_factor = state.speed_factor;
    seen.set_point_c = step_.kind == StepKind::bead ? set_point(state) : 0.0;
    seen.end_offset = raw_.end_offset();
}

void SurveyReader::interpret() {
    try {
        interpreter_.interpret(raw_, line_, step_);
    } catch (const Failure& failure) {
        throw lost_.blame(failure);
    }
    check_slips(interpreter_, raw_, line_, step_);
    e_mode_doubt_.see(interpreter_, raw_, line_, step_);
    gantry_.see(interpreter_, raw_, step_);
    lost_.see(raw_, interpreter_.state());
    if (line_.extended && step_.leaves_unknown) tool_words_.see(raw_, line_);
}

/// What a graded program declares by comments is believed of its output alone.
void SurveyReader::check_comment() const {
    if (line_.word_count > 0 || !raw_.text.starts_with("; durograde: ")) return;
    throw interpreter_.failure(raw_, 1, "graded-already",
                               "this comment stands in graded programs only",
                               "give the program as it was sliced");
}

/// Looked up anew only where a tool or its set-point may have changed.
double SurveyReader::set_point(const program::State& state) {
    if (state.tool != tool_) {
        tool_ = state.tool;
        set_point_c_ = state.set_point_c(tool_);
    }
    return set_point_c_;
}

void SurveyReader::note_style() {
    if (raw_.number == 1) {
        if (!raw_.ending.empty()) s_.line_end = raw_.ending;
        s_.has_byte_order_mark = raw_.text.starts_with(byte_order_mark);
    }
    if (line_.has_number && !s_.has_numbers) {
        s_.has_numbers = true;
        s_.first_number = line_.number;
    }
    s_.has_checksums = s_.has_checksums || line_.has_checksum;
    if (step_.kind == StepKind::heat) tool_ = -1;
    if (step_.kind == StepKind::progress) s_.progress.see(line_);
    if (!step_.moves()) return;
    program::Decimals& most = s_.decimals;
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const int decimals = line_.words[i].decimals;
        switch (line_.words[i].letter) {
            case 'X':
            case 'Y':
                most.xy = std::max(most.xy, decimals);
                break;
            case 'Z':
                most.z = std::max(most.z, decimals);
                break;
            case 'E':
                most.e = std::max(most.e, decimals);
                break;
            case 'F':
                most.f = std::max(most.f, decimals);
                break;
            default:
                break;
        }
    }
}

}  // namespace durograde::grade
