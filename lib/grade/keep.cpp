#include <algorithm>
#include <array>
#include <utility>

#include "grade/emitter.hpp"

/// The input's own lines between two pieces: which may stand, and what becomes of the others.
namespace durograde::grade {

using program::Item;
using program::Span;
using program::StepKind;

namespace {

constexpr double by_machine_mm = 1e9;  // what the machine retracts by itself is enough
constexpr double of_bead = 0.4;        // off the way of a wipe, of a bead's width: less than half

Reason reason_of(StepKind kind) {
    switch (kind) {
        case StepKind::travel:
            return Reason::travel;
        case StepKind::wipe:
        case StepKind::filament:
            return Reason::protection;
        case StepKind::heat:
            return Reason::heat;
        case StepKind::tool:
            return Reason::swap;
        case StepKind::progress:
            return Reason::progress;
        case StepKind::frame:
            return Reason::frame;
        case StepKind::fan:
            return Reason::fan;
        default:
            return Reason::settings;
    }
}

std::string_view text_of(const Span& span, const Item& item) {
    return std::string_view(span.text).substr(item.text_at, item.text_size);
}

std::string_view ending_of(const Span& span, const Item& item) {
    return std::string_view(span.text).substr(item.text_at + item.text_size, item.ending_size);
}

/// G10 or G11: a filament move of the machine's own length.
bool is_by_firmware(const Item& item) {
    return item.kind == StepKind::filament && item.e_begin == item.e_end;
}

}  // namespace

/// Whether the input's own way through these items may stand: it is one tool's, for another has
/// other filament to retract, and it is protected as far as the plan asks. Where it goes on
/// without having retracted, it crosses no more open air than the gap.
bool Emitter::may_stand(const Span& span, std::uint32_t first, std::uint32_t last) {
    const auto begin = span.items.begin();
    if (std::any_of(begin + first, begin + last,
                    [](const Item& item) { return item.kind == StepKind::tool; })) {
        return false;
    }
    if (!plan_.strings.has_value()) return true;
    double retracted_mm = retracted_mm_[tool_];
    double wiped_mm = 0.0;
    bool by_firmware = firmware_retracted_[tool_];
    bool known = writer_.knows_position();
    way_.clear();
    for (std::uint32_t i = first; i < last; ++i) {
        const Item& item = span.items[i];
        if (is_by_firmware(item)) by_firmware = item.firmware_retracts;
        retracted_mm -= item.e_mm;
        if (retracted_mm < program::no_filament_mm) retracted_mm = 0.0;
        const bool comes_from_known = known;
        known = item.known[0] && item.known[1] && item.known[2];
        if (item.kind == StepKind::filament || item.length_mm == 0.0 || !comes_from_known) continue;
        const bool wipes =
            !item.is_arc && wipe_path_.holds(item.from, item.to, survey_.bead_width_mm * of_bead);
        if (wipes) wiped_mm += distance_xy(item.from, item.to);
        if (is_as_good(by_firmware ? by_machine_mm : retracted_mm, wiped_mm)) {
            if (!may_go_bare(way_)) return false;
            way_.clear();
        } else if (!wipes) {
            if (way_.empty()) way_.push_back(item.from);
            way_.push_back(item.to);
        }
    }
    return may_go_bare(way_);
}

/// What the tool retracts before a way over open air; any length where the plan does not say.
double Emitter::own_retraction_mm() const {
    return travel_->retract ? travel_->retract->length_mm : 0.0;
}

/// Whether what the input has done before a way protects as the plan's own would.
bool Emitter::is_as_good(double retracted_mm, double wiped_mm) const {
    constexpr double rounding_mm = 0.001, of_chords = 0.95;
    const bool is_drawn = retracted_mm > 0 && retracted_mm >= own_retraction_mm() - rounding_mm;
    const double wipe_mm = travel_->wipe && !wipe_path_.empty() ? travel_->wipe->length_mm : 0.0;
    return is_drawn && wiped_mm >= of_chords * wipe_mm;
}

void Emitter::keep_items(const Span& span, std::uint32_t first, std::uint32_t last) {
    for (std::uint32_t i = first; i < last; ++i) {
        keep_item(span, span.items[i]);
        mark_if_due();
    }
}

void Emitter::keep_item(const Span& span, const Item& item) {
    const std::string_view text = text_of(span, item);
    const std::string_view ending = ending_of(span, item);
    switch (item.kind) {
        case StepKind::heat:
        case StepKind::tool:
        case StepKind::progress:
            count(figures_.edits.removed, reason_of(item.kind));
            return;
        case StepKind::travel:
        case StepKind::wipe:
        case StepKind::filament:
            return keep_move(span, item);
        case StepKind::fan:
            if (fan_said_at_ < barriers_) fan_said_ = -1.0;
            if (fan_within_range(item.fan_duty) != item.fan_duty) {
                auto& list =
                    say_fan(item.fan_duty) ? figures_.edits.rewritten : figures_.edits.removed;
                return count(list, Reason::fan);
            }
            fan_said_ = item.fan_duty;
            fan_said_at_ = barriers_;
            writer_.copy_other(text, ending);
            break;
        case StepKind::frame:
            if (item.sets_register) {
                writer_.copy_register(text, ending, item.e_word);
            } else {
                writer_.copy_frame(text, ending, item.frame);
                say_count();
            }
            break;
        case StepKind::setting:
            settings_ = span.settings[item.settings];
            writer_.copy_other(text, ending);
            break;
        case StepKind::label:
            label_ = item.label;
            writer_.copy_other(text, ending);
            break;
        default:
            writer_.copy_other(text, ending);
            break;
    }
    ++figures_.edits.copied;
}

/// Increments rest on no count of E, so none was said after a swap: numbers that are none do.
void Emitter::say_count() {
    if (writer_.frame().e_relative || !std::exchange(count_stale_, false)) return;
    insert(Reason::frame, [&] { writer_.set_register(writer_.e_register()); });
}

void Emitter::keep_move(const Span& span, const Item& item) {
    const std::string_view text = text_of(span, item);
    const std::string_view ending = ending_of(span, item);
    const bool feeds = item.e_begin != item.e_end;
    if (!item.states_feed && item.feed_mm_min != writer_.feed_mm_min())
        insert(Reason::travel, [&] { writer_.feed(item.feed_mm_min); });
    const bool filament_only = item.kind == StepKind::filament;
    const motion::Move move{item.to.x - item.from.x,
                            item.to.y - item.from.y,
                            item.to.z - item.from.z,
                            item.e_mm,
                            filament_only ? std::abs(item.e_mm) : item.length_mm,
                            item.feed_mm_min,
                            filament_only ? motion::Drive::filament : motion::Drive::travel};
    item.is_arc ? clock_.move(move, motion::bend_of(item.arc, item.from, item.to))
                : clock_.move(move);
    if (item.kind == StepKind::travel) note_open_air(item.from, item.to);
    note_filament(item.e_mm,
                  is_by_firmware(item) ? item.firmware_retracts : firmware_retracted_[tool_]);
    if (feeds && !writer_.counts_e_from(item.e_register)) {
        writer_.copy_with_filament(text, ending, item.e_begin, item.e_end, item.to, item.e_mm,
                                   item.feed_mm_min);
        count(figures_.edits.rewritten, Reason::e_count);
        return;
    }
    double register_after = writer_.e_register();
    if (feeds) register_after = item.frame.e_relative ? register_after + item.e_word : item.e_word;
    writer_.copy(text, ending, item.to, register_after, item.feed_mm_min, item.known);
    ++figures_.edits.copied;
}

/// Of lines that no longer hold, comments stay with the stroke that follows them, and what was fed
/// beyond a restart is fed with the next one.
void Emitter::drop_items(const Span& span, std::uint32_t first, std::uint32_t last) {
    for (std::uint32_t i = first; i < last; ++i) {
        const Item& item = span.items[i];
        if (item.kind == StepKind::comment || item.kind == StepKind::blank) {
            keep_item(span, item);
        } else {
            owed_mm_ += item.surplus_mm;
            count(figures_.edits.removed, reason_of(item.kind));
        }
    }
}

}  // namespace durograde::grade
