#include "check/coverage.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <utility>

namespace durograde::check {
namespace {

std::string place_text(const Point& point) {
    std::array<char, 96> text{};
    std::snprintf(text.data(), text.size(), "X%.3f Y%.3f Z%.3f", point.x, point.y, point.z);
    return text.data();
}

}  // namespace

void Coverage::begin() {
    indexed_ = false;
    stretches_.clear();
    next_ = span_first_ = span_last_ = 0;
}

void Coverage::open_span(std::uint32_t first, std::uint32_t last) {
    span_first_ = first;
    span_last_ = last;
    next_ = first;
}

bool Coverage::is_next_whole(const Act& bead, const Precision& precision) const {
    if (next_ >= span_last_) return false;
    const Segment& segment = layer_.segments[next_];
    if (segment.covered != bare || bead.is_arc != (segment.arc >= 0)) return false;
    // Written alike; a cut next to an end is another matter.
    const double slack = same_place * precision.xy_mm;
    if (!is_near(bead.to, segment.to, slack) ||
        !is_near(bead.from, layer_.start_of(next_), slack)) {
        return false;
    }
    if (segment.arc >= 0 && !fit(layer_, next_, bead, precision, reverses_).lies_on) return false;
    return is_made_for(next_, {true, 0.0, 1.0}, bead, precision) &&
           stands_alike(next_, bead, precision);
}

Match Coverage::match(const Act& bead, const Precision& precision, std::uint64_t output_line) {
    Match match;
    if (is_next_whole(bead, precision)) {
        match.segment = next_;
        match.found = true;
        layer_.segments[next_].covered = whole;
        ++next_;
        return match;
    }
    bool twice = false;
    match = search(bead, precision, twice);
    if (match.found) {
        ledger_.note(Invariant::same_beads, match.off_mm, precision.xy_mm);
        cover(match);
        return match;
    }
    const char* what = twice ? "is extruded a second time: " : "lies on no bead of the input: ";
    ledger_.fail(Invariant::same_beads, {bead.length_mm},
                 {twice ? layer_.segments[match.segment].line : 0, output_line},
                 what + place_text(bead.from) + " to " + place_text(bead.to));
    return match;
}

Match Coverage::pass_over(const Act& move, const Match& last, const Precision& precision) const {
    const Segment& segment = layer_.segments[last.segment];
    const Stroke& stroke = layer_.strokes[segment.stroke];
    // Where an arc is left off is told to a unit or two of its numbers.
    const double slack = share_of(2 * precision.xy_mm, segment);
    const bool is_done = last.reversed ? last.from <= 0.0 : last.to >= 1.0;
    const bool is_nearly_done = last.reversed ? last.from <= slack : last.to >= 1.0 - slack;
    const Match here = is_done ? Match{} : pass_over(move, last.segment, last.reversed, precision);
    if (here.found || !is_nearly_done) return here;
    const bool is_last =
        last.reversed ? last.segment == stroke.first : last.segment + 1 == stroke.last;
    if (is_last) return {};
    const std::uint32_t next = last.reversed ? last.segment - 1 : last.segment + 1;
    return pass_over(move, next, last.reversed, precision);
}

/// The stretch of `index` that the move passes over, where it runs this way and is free.
Match Coverage::pass_over(const Act& move, std::uint32_t index, bool reversed,
                          const Precision& precision) const {
    const Segment& segment = layer_.segments[index];
    const Fit found = fit(layer_, index, move, precision, reverses_);
    const double slack = share_of(2 * precision.xy_mm, segment);
    const bool passes = found.lies_on && found.reversed == reversed &&
                        is_free(segment, found.from, found.to, slack);
    return passes ? Match{index, found.from, found.to, true, reversed} : Match{};
}

/// The best of the segments that the bead lies on.
Match Coverage::search(const Act& bead, const Precision& precision, bool& twice) {
    Match best;
    int best_rank = -1;
    double best_off_mm = 0.0;
    const auto consider = [&](std::uint32_t index) {
        const Fit found = fit(layer_, index, bead, precision, reverses_);
        if (!found.lies_on) return;
        const Segment& segment = layer_.segments[index];
        const double slack = share_of(2 * precision.xy_mm, segment);
        if (!is_free(segment, found.from, found.to, slack)) {
            twice = true;
            if (!best.found) best.segment = index;
            return;
        }
        const int rank_here = rank(index, found, bead, precision);
        if (rank_here < best_rank) return;
        // Of equals the one whose line is nearest; of those that runs its way; of those the first
        // in the input's order; they come last first.
        const double nearer_mm = best_off_mm - found.off_mm;
        const bool as_near = std::abs(nearer_mm) <= same_place * precision.xy_mm;
        const bool worse = as_near ? found.reversed && !best.reversed : nearer_mm < 0;
        if (rank_here == best_rank && worse) return;
        best_rank = rank_here;
        best_off_mm = found.off_mm;
        const bool elsewhere = index < span_first_ || index >= span_last_;
        best = {index, found.from, found.to, true, found.reversed, elsewhere, found.off_mm};
    };
    if (next_ < span_last_) consider(next_);
    const bool is_exact = best_off_mm <= same_place * precision.xy_mm;
    // A stretch amid a segment may lie on another one as well, where a path runs over itself.
    const bool is_told =
        best_rank % 16 >= 4 || (best.found && layer_.segments[best.segment].covered != bare);
    if (best.found && best_rank % 4 == 3 && is_told && (is_exact || !best.reversed)) return best;
    if (!indexed_) {
        index_.build(layer_);
        indexed_ = true;
    }
    const Point middle =
        bead.is_arc ? bead.arc.at(0.5, bead.from.z, bead.to.z) : between(bead.from, bead.to, 0.5);
    index_.near(middle.x, middle.y, consider);
    return best;
}

/// Where several segments could be meant (beads printed over each other), the likelier one: in this
/// span, with the same begin or end, made for this tool and this filament, at the same settings.
int Coverage::rank(std::uint32_t index, const Fit& fit, const Act& bead,
                   const Precision& precision) const {
    const double slack = share_of(2 * precision.xy_mm, layer_.segments[index]);
    const bool here = index >= span_first_ && index < span_last_;
    const bool begins = fit.from <= slack, ends = fit.to >= 1.0 - slack;
    const bool made_for = is_made_for(index, fit, bead, precision);
    return (here ? 16 : 0) + (begins ? 4 : 0) + (ends ? 4 : 0) + (made_for ? 2 : 0) +
           (stands_alike(index, bead, precision) ? 1 : 0);
}

bool Coverage::stands_alike(std::uint32_t index, const Act& bead,
                            const Precision& precision) const {
    const Segment& segment = layer_.segments[index];
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const double faster = bead.feed_mm_min - segment.feed_mm_min;
    const bool feed = std::abs(faster) <= precision.feed_mm_min || manner_.steadies ||
                      (manner_.slows && faster < 0);
    constexpr double same_duty = 1e-3;
    const bool fan = manner_.fan_duty == Manner::any_fan || !stroke.fan_named ||
                     std::abs(stroke.fan_duty - manner_.fan_duty) <= same_duty;
    return feed && fan && stroke.settings == manner_.settings && stroke.label == manner_.label;
}

/// Whether the bead is printed and fed as the segment asks for where its middle lies.
bool Coverage::is_made_for(std::uint32_t index, const Fit& fit, const Act& bead,
                           const Precision& precision) const {
    const Segment& segment = layer_.segments[index];
    if (segment.run >= layer_.runs.size()) return true;
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const double middle_mm = segment.begin_mm + segment.length_mm * (fit.from + fit.to) / 2;
    std::uint32_t run = segment.run;
    while (run + 1 < stroke.last_run && layer_.runs[run].end_mm < middle_mm) ++run;
    const Target& target = layer_.runs[run].target;
    constexpr double alike = 0.01;  // of two beads over each other, the one fed alike
    constexpr double alike_k = 0.01;
    const double e_mm = segment.e_mm * (fit.to - fit.from) * target.flow;
    return target.tool == manner_.tool &&
           (!(target.celsius > 0) || std::abs(target.celsius - manner_.set_c) <= alike_k) &&
           std::abs(bead.e_mm - e_mm) <= alike * e_mm + 2 * precision.e_mm;
}

bool Coverage::is_free(const Segment& segment, double from, double to, double slack) const {
    if (segment.covered == whole) return false;
    for (std::int32_t i = segment.covered; i > 0;) {
        const Stretch& stretch = stretches_[static_cast<std::size_t>(i - 1)];
        if (std::min(to, stretch.to) - std::max(from, stretch.from) > slack) return false;
        i = stretch.next;
    }
    return true;
}

void Coverage::cover(const Match& match) {
    Segment& segment = layer_.segments[match.segment];
    const bool starts = match.from <= 0.0, ends = match.to >= 1.0;
    if (segment.covered == bare && starts && ends) {
        segment.covered = whole;
    } else {
        stretches_.push_back({match.from, match.to, segment.covered});
        segment.covered = static_cast<std::int32_t>(stretches_.size());
    }
    if (match.reversed) {
        next_ = match.segment - (starts && match.segment > 0 ? 1 : 0);
    } else {
        next_ = match.segment + (ends ? 1 : 0);
    }
}

double Coverage::uncovered_share(const Segment& segment, double slack) const {
    if (segment.covered == whole) return 0.0;
    std::vector<Stretch> covered;
    for (std::int32_t i = segment.covered; i > 0;) {
        covered.push_back(stretches_[static_cast<std::size_t>(i - 1)]);
        i = covered.back().next;
    }
    std::sort(covered.begin(), covered.end(),
              [](const Stretch& a, const Stretch& b) { return a.from < b.from; });
    double reached = 0.0, missing = 0.0;
    for (const Stretch& stretch : covered) {
        if (stretch.from > reached + slack) missing += stretch.from - reached;
        reached = std::max(reached, stretch.to);
    }
    return missing + (1.0 > reached + slack ? 1.0 - reached : 0.0);
}

void Coverage::settle(const Precision& precision, std::uint64_t output_line) {
    for (const Segment& segment : layer_.segments) {
        if (segment.covered == whole) continue;
        const double slack = share_of(2 * precision.xy_mm, segment);
        const double missing = uncovered_share(segment, slack);
        // What is too short for a unit of E comes out as a travel.
        const double missing_mm = missing * segment.length_mm;
        const double limit_mm = precision.e_mm / segment.e_mm * segment.length_mm;
        if (missing_mm <= limit_mm) continue;
        ledger_.fail(Invariant::same_beads, {missing_mm, limit_mm}, {segment.line, output_line},
                     "is not extruded: bead of the input to " + place_text(segment.to));
    }
}

}  // namespace durograde::check
