#include "check/travel_watch.hpp"

/// How far a way goes along the beads before it.
namespace durograde::check {

void TravelWatch::find_trails() {
    if (trails_found_) return;
    trails_found_ = true;
    const auto& wipe = travels_.of(tool_).wipe;
    back_.on = last_ && last_->segment != before_first && wipe.has_value();
    onward_.on = false;
    if (!back_.on) return;
    const double most_mm = wipe->length_mm;
    const Trail::Place end = exit_of(*last_);
    back_.trail.begin(layer_, end);
    back_.trail.trace(layer_, end, piece_begin_, most_mm);
    const Point from = layer_.point_on(row_begin_.segment, row_begin_.share);
    onward_.on = distance_xy(from, layer_.point_on(end.segment, end.share)) <= closed_mm;
    if (onward_.on) trace_onward(most_mm);
}

/// The beads end where they began: a wipe may go on along the first of them, round and round a
/// stroke that closes by itself, or on along the strokes of the same path.
void TravelWatch::trace_onward(double most_mm) {
    const auto from = static_cast<std::size_t>(layer_.segments[row_begin_.segment].stroke);
    const auto trace = [&](const Trail::Place& begin, const Stroke& stroke) {
        const Trail::Place low{stroke.first, 0.0}, high{stroke.last - 1, 1.0};
        onward_.trail.trace(layer_, begin, row_reversed_ ? low : high, most_mm);
    };
    const auto begin_of = [&](const Stroke& stroke) {
        return row_reversed_ ? Trail::Place{stroke.last - 1, 1.0} : Trail::Place{stroke.first, 0.0};
    };
    onward_.trail.begin(layer_, row_begin_);
    trace(row_begin_, layer_.strokes[from]);
    const Stroke& first = layer_.strokes[from];
    if (distance_xy(first.start, layer_.segments[first.last - 1].to) <= closed_mm) {
        onward_.trail.trace(layer_, begin_of(first), row_begin_, most_mm);
        return;
    }
    std::size_t at = from;
    const auto leads_on = [&] {
        return row_reversed_ ? layer_.strokes[at].goes_on
                             : at + 1 < layer_.strokes.size() && layer_.strokes[at + 1].goes_on;
    };
    while (onward_.trail.length_mm() < most_mm && leads_on()) {
        at = row_reversed_ ? at - 1 : at + 1;
        trace(begin_of(layer_.strokes[at]), layer_.strokes[at]);
    }
}

/// Wiped as far as the tool's wipe goes, or as the piece was long. Chords of arcs are a little
/// shorter.
bool TravelWatch::is_wiped() const {
    constexpr double of_chords = 0.95, rounding_mm = 0.01;
    if (!travels_.of(tool_).wipe) return true;
    const auto is_done = [](const Wiping& wiping) {
        return wiping.mm >= of_chords * wiping.trail.length_mm() - rounding_mm;
    };
    return is_done(back_) || (onward_.trail.length_mm() > 0 && is_done(onward_));
}

}  // namespace durograde::check
