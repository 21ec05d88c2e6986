#include "grade/survey.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "motion/clock.hpp"

namespace durograde::grade {

using program::Step;
using program::StepKind;

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";
constexpr double paint_step_mm = 0.5;  // chords that an arc is painted by

Failure refuse(const LineSource& source, std::string code, std::string text, std::string mend) {
    return {Exit::bad_input, Diagnostic{.code = std::move(code),
                                        .text = std::move(text),
                                        .mend = std::move(mend),
                                        .place = {source.name(), 0, 0}}};
}

/// Files that are named like programs and are none.
void check_begin(const LineSource& source, std::string_view text) {
    const auto begins = [&](std::string_view magic) { return text.starts_with(magic); };
    if (begins(graded_mark) || begins("\xEF\xBB\xBF; graded by durograde")) {
        throw refuse(source, "graded-already", "this program has been graded already",
                     "give the program as it was sliced");
    }
    const char* kind = begins("PK\x03\x04")              ? "a zip container"
                       : begins("\x1f\x8b")              ? "a gzip file"
                       : begins("version https://")      ? "a pointer to a file kept elsewhere"
                       : text.find('\0') < 200           ? "a binary file"
                                                         : nullptr;
    if (kind == nullptr) return;
    throw refuse(source, "not-a-program", std::string("this looks like ") + kind,
                 "give the program as plain text");
}

/// Gathers a survey line by line.
class Surveyor {
  public:
    Surveyor(Survey& survey, const plan::Machine& machine) : s_(survey), clock_(machine) {
        s_.footprint =
            std::make_unique<region::Footprint>(machine.reach_x, machine.reach_y);
        area_mm2_ = machine.filament_area_mm2();
    }

    void line(const RawLine& raw, const grammar::Line& line, const Step& step,
              const program::State& state) {
        note_style(raw, line, step);
        if (step.moves()) move(step, state);
        if (step.dwell_s > 0) clock_.pause(step.dwell_s);
        if (step.kind == StepKind::bead) {
            bead(raw, step, state);
        } else {
            in_stroke_ = in_stroke_ && step.kind == StepKind::progress;
        }
        const bool stands = step.kind == StepKind::pin || step.kind == StepKind::heat ||
                            step.kind == StepKind::tool || step.kind == StepKind::bead;
        if (stands) approach_begin_ = raw.end_offset();
    }

    void finish(const program::State& state) {
        s_.layer_runs = layers_.runs();
        s_.parts_in_sequence = layers_.fell();
        s_.time_s = clock_.now_s();
        s_.inch = state.frame.inch;
        s_.relative = state.frame.relative;
        s_.decimals.xy = std::clamp(s_.decimals.xy, s_.inch ? 4 : 3, 6);
        s_.decimals.z = std::clamp(s_.decimals.z, s_.inch ? 4 : 3, 6);
        s_.decimals.e = std::clamp(s_.decimals.e, s_.inch ? 6 : 5, 8);
        s_.decimals.f = std::clamp(s_.decimals.f, s_.inch ? 2 : 0, 4);
        measure_beads();
        s_.footprint->find_islands(s_.bead_width_mm);
    }

  private:
    void note_style(const RawLine& raw, const grammar::Line& line, const Step& step) {
        if (raw.number == 1) {
            if (!raw.ending.empty()) s_.line_end = raw.ending;
            s_.has_byte_order_mark = raw.text.starts_with(byte_order_mark);
        }
        if (line.has_number && !s_.has_numbers) {
            s_.has_numbers = true;
            s_.first_number = line.number;
        }
        s_.has_checksums = s_.has_checksums || line.has_checksum;
        if (!step.moves()) return;
        for (std::uint32_t i = 0; i < line.word_count; ++i) {
            const grammar::Word& word = line.words[i];
            const int decimals = word.decimals;
            program::Decimals& most = s_.decimals;
            switch (word.letter) {
                case 'X':
                case 'Y': most.xy = std::max(most.xy, decimals); break;
                case 'Z': most.z = std::max(most.z, decimals); break;
                case 'E': most.e = std::max(most.e, decimals); break;
                case 'F': most.f = std::max(most.f, decimals); break;
                default: break;
            }
        }
    }

    void move(const Step& step, const program::State& state) {
        const bool filament_only = step.kind == StepKind::filament;
        const double length = filament_only ? std::abs(step.e_mm) : step.length_mm();
        clock_.set_speed_factor(state.speed_factor);
        clock_.move({step.to.x - step.from.x, step.to.y - step.from.y, step.to.z - step.from.z,
                     step.e_mm, length, step.feed_mm_min, step.kind == StepKind::bead});
        if (step.kind == StepKind::travel) s_.travel_mm += length;
        const bool draws_back = step.e_mm < 0 || (filament_only && state.firmware_retracted);
        if (draws_back && !retracting_) ++s_.retractions;
        retracting_ = draws_back;
    }

    void bead(const RawLine& raw, const Step& step, const program::State& state) {
        if (!in_stroke_) begin_stroke(step, state);
        in_stroke_ = true;
        const double length = step.length_mm();
        s_.bead_length_mm += length;
        s_.filament_mm += step.e_mm;
        s_.sloped = s_.sloped || step.to.z != step.from.z;
        s_.low_x = std::min({s_.low_x, step.from.x, step.to.x});
        s_.low_y = std::min({s_.low_y, step.from.y, step.to.y});
        s_.high_x = std::max({s_.high_x, step.from.x, step.to.x});
        s_.high_y = std::max({s_.high_y, step.from.y, step.to.y});
        s_.high_z = std::max(s_.high_z, step.to.z);
        s_.last_bead_end = raw.end_offset();
        paint(step, length);
    }

    void begin_stroke(const Step& step, const program::State& state) {
        const double z = step.from.z;
        if (layers_.begins(z)) {
            const double rise = z - z_mm_;
            if (layers_.runs() > 1 && rise > 0) ++rises_[std::lround(rise * 1e4)];
            z_mm_ = z;
        }
        ++s_.strokes;
        s_.e_relative = state.frame.e_relative;
        if (std::find(s_.tools.begin(), s_.tools.end(), state.tool) == s_.tools.end()) {
            s_.tools.push_back(state.tool);
            s_.temperatures_c.push_back(state.set_point_c(state.tool));
        }
        if (s_.early.size() >= Survey::early_limit) return;
        const program::Point middle =
            step.is_arc ? along(step.arc, step.from, step.to, 0.5) : between(step.from, step.to, 0.5);
        s_.early.push_back({middle.x, middle.y, approach_begin_});
    }

    void paint(const Step& step, double length) {
        const auto run = static_cast<std::uint32_t>(layers_.runs());
        const bool above = layers_.layer() > 0;
        if (!step.is_arc) return s_.footprint->paint(step.from, step.to, run, above);
        const int chords = static_cast<int>(length / paint_step_mm) + 1;
        for (int i = 0; i < chords; ++i) {
            s_.footprint->paint(along(step.arc, step.from, step.to, 1.0 * i / chords),
                                along(step.arc, step.from, step.to, (i + 1.0) / chords), run, above);
        }
    }

    /// Bead width from what is extruded per mm and layer: volume = length · width · height.
    void measure_beads() {
        long most = 0;
        for (const auto& [rise, count] : rises_) {
            if (count <= most) continue;
            most = count;
            s_.layer_height_mm = static_cast<double>(rise) * 1e-4;
        }
        if (s_.layer_height_mm <= 0) s_.layer_height_mm = s_.high_z;
        if (s_.bead_length_mm <= 0 || s_.layer_height_mm <= 0) return;
        const double area = s_.filament_mm * area_mm2_ / s_.bead_length_mm;
        s_.bead_width_mm = std::clamp(area / s_.layer_height_mm, 0.2, 2.5);
    }

    Survey& s_;
    motion::Clock clock_;
    program::LayerCounter layers_;
    std::map<long, long> rises_;  ///< how often a layer lies how far above the last, in 0.1 µm
    double area_mm2_ = 0.0, z_mm_ = 0.0;
    std::uint64_t approach_begin_ = 0;
    bool in_stroke_ = false, retracting_ = false;
};

}  // namespace

Survey survey(LineSource& source, const program::Dialect& dialect, const plan::Machine& machine) {
    Survey result;
    Surveyor surveyor(result, machine);
    program::Interpreter interpreter(dialect, source.name());
    RawLine raw;
    grammar::Line line;
    Step step;
    while (source.next(raw)) {
        source.keep_from(raw.offset);
        if (raw.number <= 2) check_begin(source, raw.text);
        grammar::parse_line(raw.text, line);
        interpreter.interpret(raw, line, step);
        surveyor.line(raw, line, step, interpreter.state());
        result.bytes = raw.end_offset();
        result.lines = raw.number;
    }
    if (result.lines == 0) {
        throw refuse(source, "empty-input", "the input is empty", "give a sliced program");
    }
    surveyor.finish(interpreter.state());
    return result;
}

}  // namespace durograde::grade
