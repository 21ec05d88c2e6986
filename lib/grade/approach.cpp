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
using program::Stroke;

namespace {

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
    if (piece.begins_stroke) note_inputs_retractions(span, stroke.first_item, stroke.last_item);
    const bool changes = must_change(piece);
    leaves_part_ = changes || piece.part != origin_.part || piece.part == region::outside;
    Way way;
    if (!changes) station_ = piece.station;
    if (changes || coasted_) {
        way.protect = true;
    } else {
        way = way_to(span, piece, writer_.position());
    }
    if (way.stands) {
        keep_items(span, stroke.first_item, stroke.last_item);
        // What was retracted by another tool's lines is restarted.
        return restart(stroke.retracted_mm, stroke.firmware_retracted);
    }
    restate_after_barrier();
    const Point* straight_to = way.corners.empty() ? &piece.entry() : nullptr;
    if (changes || !writer_.is_at(piece.entry())) leave(way.protect, changes, straight_to);
    if (changes) change_to(piece);
    if (piece.begins_stroke) drop_items(span, stroke.first_item, stroke.last_item);
    for (const Point& corner : way.corners) {
        travel(corner, travel_feed());
        count(figures_.edits.inserted, Reason::travel);
    }
    if (!writer_.is_at(piece.entry())) {
        arrive(piece.entry(), travel_feed(), hopped_);
    } else {
        restart();
    }
    hopped_ = coasted_ = false;
    leaves_part_ = true;
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

bool Emitter::may_go_bare(std::span<const Point> way) const {
    double length = 0.0;
    for (std::size_t i = 1; i < way.size(); ++i) length += distance_xy(way[i - 1], way[i]);
    if (length <= plan_.strings->gap_mm) return true;
    const double open_mm = cover_->longest_mm(way);
    return open_mm == 0.0 || open_mm + region::Cover::slack_mm <= plan_.strings->gap_mm;
}

}  // namespace durograde::grade
