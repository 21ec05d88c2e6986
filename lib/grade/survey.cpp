#include "grade/survey.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "grade/mark.hpp"
#include "grade/refusal.hpp"
#include "motion/clock.hpp"
#include "text/relay.hpp"

namespace durograde::grade {

using program::Point;
using program::Step;
using program::StepKind;

namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

/// Files that are named like programs and are none.
void check_begin(const LineSource& source, std::string_view text) {
    const auto begins = [&](std::string_view magic) { return text.starts_with(magic); };
    if (is_marked(text)) {
        throw refusal(source.name(), "graded-already", "this program has been graded already",
                      "give the program as it was sliced");
    }
    const char* kind = begins("PK\x03\x04")         ? "a zip container"
                       : begins("\x1f\x8b")         ? "a gzip file"
                       : begins("version https://") ? "a pointer to a file kept elsewhere"
                       : text.find('\0') < 200      ? "a binary file"
                                                    : nullptr;
    if (kind == nullptr) return;
    throw refusal(source.name(), "not-a-program", std::string("this looks like ") + kind,
                  "give the program as plain text");
}

/// What the second half of a survey must know of a line.
struct Seen {
    StepKind kind = StepKind::blank;
    bool firmware_retracted = false, e_relative = false;
    std::int32_t arc = -1;     ///< index into the batch's arcs
    std::int32_t limits = -1;  ///< of a setting: index into the batch's limits
    std::int32_t tool = 0, label = -1;
    Point from, to;
    double e_mm = 0.0, feed_mm_min = 0.0;
    double dwell_s = 0.0, speed_factor = 1.0, set_point_c = 0.0;
    std::uint64_t end_offset = 0;

    [[nodiscard]] bool moves() const {
        return kind == StepKind::bead || kind == StepKind::travel || kind == StepKind::wipe ||
               kind == StepKind::filament;
    }
};
struct Batch {
    std::vector<Seen> lines;
    std::vector<program::Arc> arcs;
    std::vector<program::SaidLimits> limits;
};
constexpr std::size_t batch_lines = 2048;

motion::Drive drive_of(StepKind kind) {
    if (kind == StepKind::bead) return motion::Drive::print;
    return kind == StepKind::filament ? motion::Drive::filament : motion::Drive::travel;
}

/// First half: reads and interprets lines, notes how they are written.
class Reader {
  public:
    Reader(LineSource& source, const program::Dialect& dialect, Survey& survey)
        : source_(source), interpreter_(dialect, source.name()), s_(survey) {}

    /// Fills `batch` with the next lines. False at the end.
    bool fill(Batch& batch) {
        batch.lines.clear();
        batch.arcs.clear();
        batch.limits.clear();
        while (batch.lines.size() < batch_lines) {
            if (!source_.next(raw_)) return !batch.lines.empty();
            source_.keep_from(raw_.offset);
            if (raw_.number <= 2) check_begin(source_, raw_.text);
            grammar::parse_line(raw_.text, line_);
            check_comment();
            interpreter_.interpret(raw_, line_, step_);
            note_style();
            add(batch);
        }
        return true;
    }

    /// What the whole reading has told of the program's writing.
    void finish() {
        const program::Frame& frame = interpreter_.state().frame;
        s_.bytes = raw_.end_offset();
        s_.lines = raw_.number;
        s_.inch = frame.inch;
        s_.relative = frame.relative;
    }

  private:
    void add(Batch& batch) {
        const program::State& state = interpreter_.state();
        Seen& seen = batch.lines.emplace_back();
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
        seen.e_mm = step_.e_mm;
        seen.feed_mm_min = step_.feed_mm_min;
        seen.dwell_s = step_.dwell_s;
        seen.speed_factor = state.speed_factor;
        seen.set_point_c = step_.kind == StepKind::bead ? set_point(state) : 0.0;
        seen.end_offset = raw_.end_offset();
    }

    /// What a graded program declares by comments is believed of its output alone.
    void check_comment() const {
        if (line_.word_count > 0 || !raw_.text.starts_with("; durograde: ")) return;
        throw interpreter_.failure(raw_, 1, "graded-already",
                                   "this comment stands in graded programs only",
                                   "give the program as it was sliced");
    }

    /// Looked up anew only where a tool or its set-point may have changed.
    double set_point(const program::State& state) {
        if (state.tool != tool_) {
            tool_ = state.tool;
            set_point_c_ = state.set_point_c(tool_);
        }
        return set_point_c_;
    }

    void note_style() {
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

    LineSource& source_;
    program::Interpreter interpreter_;
    Survey& s_;
    RawLine raw_;
    grammar::Line line_;
    Step step_;
    int tool_ = -1;
    double set_point_c_ = 0.0;
};

/// Second half: strokes, layers, footprint and time.
class Surveyor {
  public:
    Surveyor(Survey& survey, const plan::Machine& machine, const plan::Sheet& sheet)
        : s_(survey), sheet_(sheet), clock_(machine) {
        s_.footprint = std::make_unique<region::Footprint>(machine.reach_x, machine.reach_y);
        area_mm2_ = machine.filament_area_mm2();
    }

    void take(const Batch& batch) {
        for (const Seen& seen : batch.lines) {
            if (seen.limits >= 0) clock_.adopt(batch.limits[static_cast<std::size_t>(seen.limits)]);
            arc_ = seen.arc >= 0 ? &batch.arcs[static_cast<std::size_t>(seen.arc)] : nullptr;
            take(seen);
        }
    }

    void finish() {
        s_.layer_runs = layers_.runs();
        s_.parts_in_sequence = layers_.fell();
        s_.time_s = clock_.now_s();
        s_.decimals.xy = std::clamp(s_.decimals.xy, s_.inch ? 4 : 3, 6);
        s_.decimals.z = std::clamp(s_.decimals.z, s_.inch ? 4 : 3, 6);
        s_.decimals.e = std::clamp(s_.decimals.e, s_.inch ? 6 : 5, 8);
        s_.decimals.f = std::clamp(s_.decimals.f, s_.inch ? 2 : 0, 4);
        measure();
        s_.footprint->find_islands();
        if (s_.beads) s_.beads->finish();
    }

  private:
    void take(const Seen& seen) {
        if (seen.moves()) move(seen);
        if (seen.dwell_s > 0) clock_.pause(seen.dwell_s);
        if (seen.kind != StepKind::bead) in_stroke_ = in_stroke_ && seen.kind == StepKind::progress;
        const bool stands = seen.kind == StepKind::pin || seen.kind == StepKind::heat ||
                            seen.kind == StepKind::tool || seen.kind == StepKind::bead;
        if (stands) approach_begin_ = seen.end_offset;
    }

    void move(const Seen& seen) {
        const bool filament_only = seen.kind == StepKind::filament;
        const double dx = seen.to.x - seen.from.x, dy = seen.to.y - seen.from.y;
        const double dz = seen.to.z - seen.from.z;
        const double length = filament_only     ? std::abs(seen.e_mm)
                              : arc_ != nullptr ? std::hypot(arc_->length_mm(), dz)
                                                : std::sqrt(dx * dx + dy * dy + dz * dz);
        clock_.set_speed_factor(seen.speed_factor);
        const motion::Move move{
            dx, dy, dz, seen.e_mm, length, seen.feed_mm_min, drive_of(seen.kind)};
        arc_ != nullptr ? clock_.move(move, motion::bend_of(*arc_, seen.from, seen.to))
                        : clock_.move(move);
        if (seen.kind == StepKind::travel) s_.travel_mm += length;
        const bool draws_back = seen.e_mm < 0 || (filament_only && seen.firmware_retracted);
        if (draws_back && !retracting_) ++s_.retractions;
        retracting_ = draws_back;
        if (seen.kind == StepKind::bead) bead(seen, length);
    }

    void bead(const Seen& seen, double length) {
        if (!in_stroke_) begin_stroke(seen);
        in_stroke_ = true;
        s_.bead_length_mm += length;
        s_.filament_mm += seen.e_mm;
        s_.sloped = s_.sloped || seen.to.z != seen.from.z;
        s_.low_x = std::min({s_.low_x, seen.from.x, seen.to.x});
        s_.low_y = std::min({s_.low_y, seen.from.y, seen.to.y});
        s_.high_x = std::max({s_.high_x, seen.from.x, seen.to.x});
        s_.high_y = std::max({s_.high_y, seen.from.y, seen.to.y});
        s_.high_z = std::max(s_.high_z, seen.to.z);
        s_.last_bead_end = seen.end_offset;
        paint(seen);
    }

    void begin_stroke(const Seen& seen) {
        const double z = seen.from.z;
        if (layers_.begins(z)) {
            const double rise = layers_.layer() > 0 ? z - z_mm_ : 0.0;
            if (rise > 0) ++rises_[std::lround(rise * 1e4)];
            s_.footprint->begin_layer(rise);
            if (s_.beads) s_.beads->begin_layer(z);
            z_mm_ = z;
        }
        ++s_.strokes;
        s_.e_relative = seen.e_relative;
        if (std::find(s_.tools.begin(), s_.tools.end(), seen.tool) == s_.tools.end()) {
            s_.tools.push_back(seen.tool);
            s_.temperatures_c.push_back(seen.set_point_c);
        }
        if (s_.early.size() >= Survey::early_limit) return;
        const Point middle = arc_ != nullptr ? along(*arc_, seen.from, seen.to, 0.5)
                                             : between(seen.from, seen.to, 0.5);
        s_.early.push_back({middle.x, middle.y, seen.label, approach_begin_});
    }

    void paint(const Seen& seen) {
        s_.labels.note(seen.label, (seen.from.x + seen.to.x) / 2, (seen.from.y + seen.to.y) / 2);
        if (!sheet_.takes(seen.label)) return;
        const double volume = seen.e_mm * area_mm2_;
        if (arc_ == nullptr) {
            s_.footprint->paint(seen.from, seen.to, volume);
            if (s_.beads) s_.beads->add(seen.from, seen.to, volume);
        } else {
            s_.footprint->paint(seen.from, seen.to, *arc_, volume);
            if (s_.beads) s_.beads->add(seen.from, seen.to, *arc_, volume);
        }
    }

    /// The commonest step between layers, and the beads' width by it.
    void measure() {
        long most = 0;
        for (const auto& [rise, count] : rises_) {
            if (count <= most) continue;
            most = count;
            s_.layer_height_mm = static_cast<double>(rise) * 1e-4;
        }
        if (s_.layer_height_mm <= 0) s_.layer_height_mm = s_.high_z;
        s_.bead_width_mm = s_.footprint->bead_width_mm();
    }

    Survey& s_;
    const plan::Sheet& sheet_;
    motion::Clock clock_;
    program::LayerCounter layers_;
    std::map<long, long> rises_;  ///< how often a layer lies how far above the last, in 0.1 µm
    double area_mm2_ = 0.0, z_mm_ = 0.0;
    const program::Arc* arc_ = nullptr;  ///< of the line being taken
    std::uint64_t approach_begin_ = 0;
    bool in_stroke_ = false, retracting_ = false;
};

}  // namespace

Survey survey(LineSource& source, const program::Dialect& dialect, const plan::Machine& machine,
              const plan::Sheet& sheet, bool keeps_beads) {
    Survey result;
    if (keeps_beads) result.beads = std::make_unique<region::BeadLog>();
    Surveyor surveyor(result, machine, sheet);
    {
        Reader reader(source, dialect, result);
        Relay<Batch> batches([&](Batch& batch) { return reader.fill(batch); });
        while (const Batch* batch = batches.next()) surveyor.take(*batch);
        reader.finish();
    }
    if (result.lines == 0) {
        throw refusal(source.name(), "empty-input", "the input is empty", "give a sliced program");
    }
    surveyor.finish();
    return result;
}

}  // namespace durograde::grade
