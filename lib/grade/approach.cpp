#include <algorithm>
#include <array>
#include <cmath>

#include "grade/emitter.hpp"
#include "region/detour.hpp"

/// What comes between two pieces: the input's own lines where the output goes as the input did,
/// else new ones.
namespace durograde::grade {

using program::Item;
using program::Span;
using program::StepKind;
using program::Stroke;

namespace {

constexpr double no_filament_mm = 1e-6;  // what sums of written numbers leave over

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

bool draws_back(const Item& item) {
    return item.e_mm < 0 || item.firmware_retracts;
}

}  // namespace

bool Emitter::follows_input(const Span&, const Piece& piece) const {
    return piece.begins_stroke && !piece.reversed &&
           last_stroke_ + 1 == static_cast<std::int64_t>(piece.stroke);
}

void Emitter::approach(const Span& span, const Piece& piece) {
    const Stroke& stroke = span.strokes[piece.stroke];
    const bool changes = must_change(piece);
    Way way;
    if (!changes) station_ = piece.station;
    if (changes || coasted_) {
        way.protect = true;
    } else {
        way = way_to(span, piece, writer_.position());
    }
    if (way.stands) {
        keep_items(span, stroke.first_item, stroke.last_item);
        // What was drawn back by another tool's lines is restarted.
        return restart(stroke.retracted_mm, stroke.firmware_retracted);
    }
    if (changes || !writer_.is_at(piece.entry())) leave(way.protect, changes, &piece.entry());
    if (changes) swap_if_needed(piece, stroke);
    if (piece.begins_stroke) drop_items(span, stroke.first_item, stroke.last_item);
    for (const Point& corner : way.corners) {
        travel(corner, travel_feed(stroke));
        count(figures_.edits.inserted, Reason::travel);
    }
    if (!writer_.is_at(piece.entry())) {
        arrive(piece.entry(), travel_feed(stroke), hopped_);
    } else {
        restart();
    }
    hopped_ = coasted_ = false;
    if (writer_.frame() == stroke.frame) return;
    insert(Reason::frame, [&] { writer_.change_frame(stroke.frame, stroke.e_register); });
}

/// The way to a piece from where the last one ended, with the same tool and temperature.
Emitter::Way Emitter::way_to(const Span& span, const Piece& piece, const Point& from) {
    const Stroke& stroke = span.strokes[piece.stroke];
    Way way;
    way.stands = follows_input(span, piece) && may_stand(span, stroke.first_item, stroke.last_item);
    if (way.stands) return way;
    if (!plan_.strings.has_value()) {
        const auto first = span.items.begin() + stroke.first_item;
        const auto last = span.items.begin() + stroke.last_item;
        way.protect = piece.begins_stroke && std::any_of(first, last, draws_back);
        return way;
    }
    const std::array<Point, 2> straight = {from, piece.entry()};
    way.protect = !writer_.knows_position() || !may_go_bare(straight);
    const bool is_out = retracted_mm_[tool_] > 0 || firmware_retracted_[tool_];
    if (!way.protect || is_out || piece.part == region::outside || piece.part != origin_.part)
        return way;
    way.corners = detour(from, piece.entry());
    if (!way.corners.empty()) way.protect = false;
    return way;
}

/// The corners of a way over beads of the same height that needs no protection, or none.
std::vector<program::Point> Emitter::detour(const Point& from, const Point& to) const {
    const double most_mm = distance_xy(from, to) + plan_.strings->bend_mm;
    if (from.z != to.z || !(plan_.strings->bend_mm > 0)) return {};
    std::vector<Point> way = region::way_over_beads(*cover_, from, to, most_mm);
    if (way.size() < 3) return {};
    for (Point& corner : way) corner = writer_.rounded(corner);
    if (!may_go_bare(way)) return {};
    return {way.begin() + 1, way.end() - 1};
}

/// Whether the input's own way through these items may stand: it is one tool's, for another has
/// other filament to draw back, and it is protected as far as the plan asks. Where it goes on
/// without having drawn back, it crosses no more open air than the gap.
bool Emitter::may_stand(const Span& span, std::uint32_t first, std::uint32_t last) {
    const auto begin = span.items.begin();
    if (std::any_of(begin + first, begin + last,
                    [](const Item& item) { return item.kind == StepKind::tool; })) {
        return false;
    }
    if (!plan_.strings.has_value()) return true;
    double retracted_mm = retracted_mm_[tool_];
    bool by_firmware = firmware_retracted_[tool_];
    bool known = writer_.knows_position();
    way_.clear();
    for (std::uint32_t i = first; i < last; ++i) {
        const Item& item = span.items[i];
        if (is_by_firmware(item)) by_firmware = item.firmware_retracts;
        retracted_mm -= item.e_mm;
        if (retracted_mm < no_filament_mm) retracted_mm = 0.0;
        const bool comes_from_known = known;
        known = item.known[0] && item.known[1] && item.known[2];
        if (item.kind == StepKind::filament || item.length_mm == 0.0 || !comes_from_known) continue;
        if (retracted_mm > 0 || by_firmware) {
            if (!may_go_bare(way_)) return false;
            way_.clear();
        } else {
            if (way_.empty()) way_.push_back(item.from);
            way_.push_back(item.to);
        }
    }
    return may_go_bare(way_);
}

bool Emitter::may_go_bare(std::span<const Point> way) const {
    double length = 0.0;
    for (std::size_t i = 1; i < way.size(); ++i) length += distance_xy(way[i - 1], way[i]);
    if (length <= plan_.strings->gap_mm) return true;
    const double open_mm = cover_->longest_mm(way);
    return open_mm == 0.0 || open_mm + region::Cover::slack_mm <= plan_.strings->gap_mm;
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
            if (fan_within_range(item.fan_duty) != item.fan_duty) {
                auto& list =
                    say_fan(item.fan_duty) ? figures_.edits.rewritten : figures_.edits.removed;
                return count(list, Reason::fan);
            }
            fan_said_ = item.fan_duty;
            writer_.copy_other(text, ending);
            break;
        case StepKind::frame:
            if (item.sets_register) {
                writer_.copy_register(text, ending, item.e_word);
            } else {
                writer_.copy_frame(text, ending, item.frame);
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

/// Of lines that no longer hold, comments stay with the stroke that follows them.
void Emitter::drop_items(const Span& span, std::uint32_t first, std::uint32_t last) {
    for (std::uint32_t i = first; i < last; ++i) {
        const Item& item = span.items[i];
        if (item.kind == StepKind::comment || item.kind == StepKind::blank) {
            keep_item(span, item);
        } else {
            count(figures_.edits.removed, reason_of(item.kind));
        }
    }
}

}  // namespace durograde::grade
