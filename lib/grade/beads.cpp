#include <algorithm>
#include <cmath>
#include <limits>

#include "grade/emitter.hpp"

/// The beads of a piece as lines: the input's own where nothing of them changes.
namespace durograde::grade {

using program::Segment;
using program::Span;
using program::Stroke;

namespace {

constexpr double feed_step_mm_min = 30.0;  // of feeds that are changed for the flow
constexpr int arc_chords = 32;

const program::Arc* arc_of(const Span& span, const Segment& segment) {
    return segment.arc >= 0 ? &span.arcs[static_cast<std::size_t>(segment.arc)] : nullptr;
}

/// Whether a line says by a G word of its own how it moves.
bool names_motion(std::string_view text) {
    return text.substr(0, text.find_first_of(";(")).find_first_of("Gg") != std::string_view::npos;
}

}  // namespace

/// From here on a travel could hit it. Chords stand for arcs: they lie within the bead's width.
void Emitter::print(const Span& span, const Piece& piece, bool covers) {
    const Stroke& stroke = span.strokes[piece.stroke];
    Point from = piece.begin.point;
    for (std::uint32_t i = piece.begin.segment; i <= piece.end.segment; ++i) {
        const double end = i == piece.end.segment ? piece.end.fraction : 1.0;
        const int chords = span.segments[i].arc >= 0 ? arc_chords : 1;
        const double begin = i == piece.begin.segment ? piece.begin.fraction : 0.0;
        for (int c = 1; c <= chords; ++c) {
            const Point to =
                region::segment_point(span, stroke, i, begin + (end - begin) * c / chords);
            if (covers) cover_->print(from, to);
            if (heights_) heights_->print(from, to);
            from = to;
        }
    }
}

void Emitter::write_beads(const Span& span, const Piece& piece) {
    const Stroke& stroke = span.strokes[piece.stroke];
    const double flow = stations_[piece.station].flow;
    bool follows = false;
    for (std::uint32_t i = piece.begin.segment; i <= piece.end.segment; ++i) {
        const double from = i == piece.begin.segment ? piece.begin.fraction : 0.0;
        const double to = i == piece.end.segment ? piece.end.fraction : 1.0;
        if (from == 0.0 && to == 1.0) {
            write_segment(span, stroke, i, flow, follows);
            follows = true;
        } else if (to > from) {
            follows = false;
            const Point end = to == 1.0 ? region::segment_end(span, i) : piece.end.point;
            const std::uint64_t before = writer_.lines();
            write_stretch(span, stroke, i, {from, to, writer_.rounded(end)}, flow);
            count_stretch(before, from == 0.0, Reason::cut);
        }
        mark_if_due();
    }
}

/// From the piece's end to its begin. Each bead keeps its own feed.
void Emitter::write_beads_back(const Span& span, const Piece& piece) {
    const Stroke& stroke = span.strokes[piece.stroke];
    const double flow = stations_[piece.station].flow;
    for (std::uint32_t i = piece.end.segment + 1; i-- > piece.begin.segment;) {
        const double from = i == piece.begin.segment ? piece.begin.fraction : 0.0;
        const double to = i == piece.end.segment ? piece.end.fraction : 1.0;
        if (!(to > from)) continue;
        const bool is_cut = from > 0.0 || to < 1.0;
        const Point begin = from > 0.0 ? piece.begin.point : region::segment_start(span, stroke, i);
        const std::uint64_t before = writer_.lines();
        write_stretch(span, stroke, i, {to, from, writer_.rounded(begin)}, flow);
        count_stretch(before, from == 0.0, is_cut ? Reason::cut : Reason::coordinates);
        mark_if_due();
    }
}

/// The stretch that holds the begin of an input's line takes its place, others are put in. Where it
/// is too short to be written, the line is taken out.
void Emitter::count_stretch(std::uint64_t lines_before, bool begins_line, Reason reason) {
    const bool is_written = writer_.lines() != lines_before;
    if (begins_line)
        count(is_written ? figures_.edits.rewritten : figures_.edits.removed, reason);
    else if (is_written)
        count(figures_.edits.inserted, reason);
}

/// The input's feed, kept within the tool's largest flow and the zone's band. What is changed goes
/// to a round number within them, so that feeds do not change on every line.
double Emitter::steady_feed(double feed_mm_min, double e_mm, double length_mm) const {
    const plan::Tool* current = tool();
    if (!(e_mm > 0) || station_ < 0) return feed_mm_min;
    const Station& station = stations_[station_];
    const bool has_most = current != nullptr && current->max_flow_mm3_s;
    if (!has_most && !(station.most_mm3_s > 0)) return feed_mm_min;
    const double feed_of_flow = 60.0 * length_mm / (e_mm * area_mm2_);
    double most = std::numeric_limits<double>::infinity();
    if (has_most) most = *current->max_flow_mm3_s * feed_of_flow;
    if (station.most_mm3_s > 0) most = std::min(most, station.most_mm3_s * feed_of_flow);
    if (feed_mm_min > most) {
        return std::max(std::floor(most / feed_step_mm_min) * feed_step_mm_min,
                        std::min(most, feed_step_mm_min));
    }
    const double fastest = plan_.machine.fastest_mm_min();
    const double least =
        std::min(station.least_mm3_s * feed_of_flow, std::max(fastest, feed_mm_min));
    if (feed_mm_min >= least) return feed_mm_min;
    return std::min(std::ceil(least / feed_step_mm_min) * feed_step_mm_min,
                    std::min(most, std::max(fastest, least)));
}

/// `follows` tells that the line before it in the input was the last one written: a line without
/// its G word means what that one did.
void Emitter::write_segment(const Span& span, const Stroke& stroke, std::uint32_t index,
                            double flow, bool follows) {
    const Segment& segment = span.segments[index];
    const Point from = region::segment_start(span, stroke, index);
    const Point to = region::segment_end(span, index);
    const double length = region::segment_length(span, stroke, index);
    const double feed = steady_feed(segment.feed_mm_min, segment.e_mm * flow, length);
    time_bead(from, to, arc_of(span, segment), length, segment.e_mm * flow, feed);
    const double input_restarts_mm = index == stroke.first_segment ? stroke.restarts_mm : 0.0;
    const double restarts_mm = input_restarts_mm > 0 ? restarts_mm_ : 0.0;
    const double e_mm = segment.e_mm * flow + restarts_mm;

    const bool says_feed =
        segment.states_feed != 0 ? feed == segment.feed_mm_min : feed == writer_.feed_mm_min();
    const std::string_view all = span.text;
    const std::string_view text = all.substr(segment.text_at, segment.text_size);
    const std::string_view ending =
        all.substr(segment.text_at + segment.text_size, segment.ending_size);
    const bool may_copy = stroke.plain && (follows || names_motion(text));
    if (!may_copy || !(writer_.frame() == stroke.frame) || !says_feed) {
        if (segment.arc >= 0) {
            writer_.arc(to, span.arcs[static_cast<std::size_t>(segment.arc)], e_mm, feed);
        } else {
            writer_.bead(to, e_mm, feed);
        }
        count(figures_.edits.rewritten,
              feed != segment.feed_mm_min ? Reason::feed : Reason::coordinates);
        return;
    }
    const double before =
        segment.e_word - (segment.e_mm + input_restarts_mm) / stroke.frame.e_unit_mm();
    const bool same_filament = flow == 1.0 && restarts_mm == input_restarts_mm;
    if (same_filament && writer_.counts_e_from(before)) {
        const double after =
            stroke.frame.e_relative ? writer_.e_register() + segment.e_word : segment.e_word;
        writer_.copy(text, ending, to, after, feed);
        ++figures_.edits.copied;
        return;
    }
    writer_.copy_with_filament(text, ending, segment.e_begin, segment.e_end, to, e_mm, feed);
    count(figures_.edits.rewritten, same_filament ? Reason::e_count : Reason::flow);
}

void Emitter::write_stretch(const Span& span, const Stroke& stroke, std::uint32_t index,
                            const Stretch& stretch, double flow) {
    const Segment& segment = span.segments[index];
    const double share = std::abs(stretch.to - stretch.from);
    const double length = region::segment_length(span, stroke, index) * share;
    const double bead_mm = segment.e_mm * share * flow;
    const bool restarts = index == stroke.first_segment && stretch.from == 0.0;
    const double e_mm = bead_mm + (restarts && stroke.restarts_mm > 0 ? restarts_mm_ : 0.0);
    const double feed = steady_feed(segment.feed_mm_min, bead_mm, length);
    if (writer_.is_at(stretch.end)) {
        // Shorter than a number can tell. An arc that ends where it begins would be a full circle.
        if (share < 1.0 || segment.arc < 0) {
            tool_figures_->filament_mm += e_mm;
            return writer_.owe(e_mm);
        }
    }
    if (segment.arc < 0) {
        time_bead(writer_.position(), stretch.end, nullptr, length, bead_mm, feed);
        return writer_.bead(stretch.end, e_mm, feed);
    }
    program::Arc arc = span.arcs[static_cast<std::size_t>(segment.arc)];
    if (stretch.to < stretch.from) arc.sweep_rad = -arc.sweep_rad;
    time_bead(writer_.position(), stretch.end, &arc, length, bead_mm, feed);
    writer_.arc(stretch.end, arc, e_mm, feed);
}

void Emitter::time_bead(const Point& from, const Point& to, const program::Arc* arc,
                        double length_mm, double e_mm, double feed_mm_min) {
    const motion::Move move{to.x - from.x, to.y - from.y, to.z - from.z,       e_mm,
                            length_mm,     feed_mm_min,   motion::Drive::print};
    arc != nullptr ? clock_.move(move, motion::bend_of(*arc, from, to)) : clock_.move(move);
    tool_figures_->filament_mm += e_mm;
    if (e_mm > 0 && length_mm > 0) {
        const double volume_mm3 = e_mm * area_mm2_;
        flow_spread_->add(volume_mm3 * feed_mm_min / (60.0 * length_mm), volume_mm3);
    }
}

}  // namespace durograde::grade
