#include <algorithm>

#include "grade/emitter.hpp"

/// Coasting: the last of a piece is passed over without extruding, so that the pressure in the
/// nozzle is used up where the travel begins that must not string.
namespace durograde::grade {

using program::Span;
using program::Stroke;

namespace {

// However much the plan asks for, the greater part of a piece is extruded.
constexpr double most_of_a_piece = 0.5;
constexpr double joined_mm = 0.001;  // nearer, one goes on with the other
// Extruded of the segment on which extruding stops, at least: a speck would be lost among the
// roundings of its ends.
constexpr double least_mm = 0.05;

/// The shares between which segment `i` belongs to the piece, in the order of printing.
std::pair<double, double> shares_of(const Piece& piece, std::uint32_t i) {
    const double low = i == piece.begin.segment ? piece.begin.fraction : 0.0;
    const double high = i == piece.end.segment ? piece.end.fraction : 1.0;
    return piece.reversed ? std::pair{high, low} : std::pair{low, high};
}

/// The `n`-th segment of the piece, counted from where it is left.
std::uint32_t segment_from_exit(const Piece& piece, std::uint32_t n) {
    return piece.reversed ? piece.begin.segment + n : piece.end.segment - n;
}

/// Whether the input coasts itself at the end of a stroke: it goes on without extruding, and only
/// then retracts.
bool input_coasts(const Span& span, const Piece& piece) {
    if (!piece.ends_stroke || piece.reversed) return false;
    const bool is_last = piece.stroke + 1 == span.strokes.size();
    const std::uint32_t first =
        is_last ? span.tail_item : span.strokes[piece.stroke + 1].first_item;
    const std::uint32_t last = is_last ? static_cast<std::uint32_t>(span.items.size())
                                       : span.strokes[piece.stroke + 1].last_item;
    bool goes_on = false;
    for (std::uint32_t i = first; i < last; ++i) {
        const program::Item& item = span.items[i];
        if (item.e_mm < 0 || item.firmware_retracts) return goes_on;
        goes_on = goes_on || (item.kind == program::StepKind::travel && item.length_mm > 0);
    }
    return false;
}

}  // namespace

/// Whether the way from the end of `piece`, which stands for printed, to `next` will be retracted
/// by us. Where another temperature is waited for, the tool stays as full as it is.
bool Emitter::will_protect(const Span& span, const Piece& piece, const Piece* next) {
    if (next == nullptr || span.in_order || !travel_->retract) return false;
    // What is said anew first would part the retraction from the piece.
    if (restate_due_) return false;
    if (input_coasts(span, piece)) return false;
    if (stations_[next->station].tool != tool_) return true;
    if (next->station != piece.station || distance_xy(piece.exit(), next->entry()) < joined_mm)
        return false;
    const Way way = way_to(span, *next, piece.exit());
    return !way.stands && way.protect;
}

/// Where the piece stops being extruded: the plan's volume before its exit, along the path.
region::Cut Emitter::coast_place(const Span& span, const Piece& piece) const {
    const Stroke& stroke = span.strokes[piece.stroke];
    const double flow = stations_[piece.station].flow;
    const std::uint32_t count = piece.end.segment - piece.begin.segment + 1;
    const auto volume_mm3 = [&](std::uint32_t i) {
        const auto [from, to] = shares_of(piece, i);
        return span.segments[i].e_mm * std::abs(to - from) * flow * area_mm2_;
    };
    double left_mm3 = 0.0;
    for (std::uint32_t n = 0; n < count; ++n)
        left_mm3 += most_of_a_piece * volume_mm3(segment_from_exit(piece, n));
    left_mm3 = std::min(left_mm3, *travel_->coast_mm3);
    for (std::uint32_t n = 0; n < count; ++n) {
        const std::uint32_t i = segment_from_exit(piece, n);
        const double here_mm3 = volume_mm3(i);
        if (here_mm3 < left_mm3) {
            left_mm3 -= here_mm3;
            continue;
        }
        const auto [from, to] = shares_of(piece, i);
        double extruded = here_mm3 > 0 ? 1.0 - left_mm3 / here_mm3 : 1.0;
        const double length_mm = region::segment_length(span, stroke, i) * std::abs(to - from);
        if (extruded > 0) extruded = std::max(extruded, std::min(1.0, least_mm / length_mm));
        const double share = from + (to - from) * extruded;
        return {i, share, writer_.rounded(region::segment_point(span, stroke, i, share))};
    }
    return piece.reversed ? piece.begin : piece.end;
}

/// The piece, the last of it unextruded.
void Emitter::write_coasting(const Span& span, const Piece& piece) {
    coasted_ = true;
    const Stroke& stroke = span.strokes[piece.stroke];
    const region::Cut stop = coast_place(span, piece);
    Piece extruded = piece;
    (piece.reversed ? extruded.begin : extruded.end) = stop;
    const double fed_before_mm = tool_figures_->filament_mm;
    piece.reversed ? write_beads_back(span, extruded) : write_beads(span, extruded);
    account_coasted(span, piece, tool_figures_->filament_mm - fed_before_mm);
    const std::uint32_t last = piece.reversed ? piece.begin.segment : piece.end.segment;
    const std::uint32_t coasted = piece.reversed ? stop.segment - last : last - stop.segment;
    for (std::uint32_t n = coasted + 1; n-- > 0;) {
        const std::uint32_t i = segment_from_exit(piece, n);
        const program::Segment& segment = span.segments[i];
        const auto [begin, share] = shares_of(piece, i);
        const bool has_begin = std::min(begin, share) == 0.0;
        const bool is_all = i != stop.segment || stop.fraction == begin;
        const bool begins_line = has_begin && (is_all || (piece.reversed && stop.fraction > 0.0));
        const std::uint64_t before = writer_.lines();
        const Point to = writer_.rounded(i == last ? piece.exit()
                                                   : region::segment_point(span, stroke, i, share));
        if (writer_.is_at(to)) {
            count_stretch(before, begins_line, Reason::protection);
            continue;
        }
        if (segment.arc < 0) {
            travel(to, segment.feed_mm_min);
        } else {
            program::Arc arc = span.arcs[static_cast<std::size_t>(segment.arc)];
            if (piece.reversed) arc.sweep_rad = -arc.sweep_rad;
            const Point from = writer_.position();
            clock_.move({to.x - from.x, to.y - from.y, to.z - from.z, 0.0, distance(from, to),
                         segment.feed_mm_min, motion::Drive::travel},
                        motion::bend_of(arc, from, to));
            writer_.arc(to, arc, 0.0, segment.feed_mm_min);
        }
        count_stretch(before, begins_line, Reason::protection);
    }
}

}  // namespace durograde::grade
