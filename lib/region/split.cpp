#include "region/split.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {

using program::Point;
using program::Segment;
using program::Span;
using program::Stroke;

namespace {

constexpr double crossing_mm = 1e-4;  // width to which a crossing is bracketed
// Lengths that differ by less are alike: on symmetrical parts many are, but for what bisection
// leaves open, which is no reason to choose one.
constexpr double alike_mm = 1e-3;

/// Walks one stroke, segment by segment.
class Walk {
  public:
    Walk(const Span& span, const Stroke& stroke, const ZoneField& field, const Placement& placement)
        : span_(span), stroke_(stroke), field_(field), placement_(placement) {
        const ZoneField::Probe probe = field_.at(spot(stroke.start));
        zone_ = probe.zone;
        free_mm_ = probe.free_mm;
    }

    void run(std::vector<Run>& runs) {
        runs.clear();
        runs.push_back({zone_, {stroke_.first_segment, 0.0, stroke_.start}, {}, 0.0});
        for (std::uint32_t i = stroke_.first_segment; i < stroke_.last_segment; ++i)
            segment(i, runs);
        const std::uint32_t last = stroke_.last_segment - 1;
        runs.back().end = {last, 1.0, segment_end(span_, last)};
    }

  private:
    [[nodiscard]] Spot spot(const Point& point) const {
        return placement_.spot(point, span_.layer);
    }

    [[nodiscard]] ZoneField::Probe probe_at(std::uint32_t index, double share) const {
        return field_.at(spot(segment_point(span_, stroke_, index, share)));
    }

    void segment(std::uint32_t index, std::vector<Run>& runs) {
        const double length = segment_length(span_, stroke_, index);
        double at = 0.0, run_began = 0.0;
        // What is found by sampling is bracketed within one segment: each is sampled at its end.
        while (free_mm_ < length - at || (field_.samples() && at < length)) {
            const double before = at;
            at = std::min(at + free_mm_, length);
            ZoneField::Probe probe = probe_at(index, at / length);
            free_mm_ = probe.free_mm;
            if (probe.zone == zone_) continue;
            const double crossing = bracket(index, length, before, at);
            // Another zone, thinner than the step, may begin there: the walk goes on within it.
            const ZoneField::Probe there = probe_at(index, crossing / length);
            if (there.zone != probe.zone && there.zone != zone_) {
                probe = there;
                at = crossing;
                free_mm_ = probe.free_mm;
            }
            const Cut cut{index, crossing / length,
                          segment_point(span_, stroke_, index, crossing / length)};
            runs.back().end = cut;
            runs.back().length_mm += crossing - run_began;
            runs.push_back({probe.zone, cut, {}, 0.0});
            run_began = crossing;
            zone_ = probe.zone;
        }
        free_mm_ -= length - at;
        runs.back().length_mm += length - run_began;
    }

    /// Where between `low` (in the zone of the run) and `high` (in another) the first crossing
    /// lies.
    [[nodiscard]] double bracket(std::uint32_t index, double length, double low,
                                 double high) const {
        while (high - low > crossing_mm) {
            const double middle = (low + high) / 2;
            (probe_at(index, middle / length).zone == zone_ ? low : high) = middle;
        }
        return high;
    }

    const Span& span_;
    const Stroke& stroke_;
    const ZoneField& field_;
    const Placement& placement_;
    int zone_ = no_zone;
    double free_mm_ = 0.0;
};

void join_same(std::vector<Run>& runs) {
    std::size_t kept = 0;
    for (std::size_t i = 1; i < runs.size(); ++i) {
        if (runs[i].zone == runs[kept].zone) {
            runs[kept].end = runs[i].end;
            runs[kept].length_mm += runs[i].length_mm;
        } else {
            runs[++kept] = runs[i];
        }
    }
    runs.resize(kept + 1);
}

}  // namespace

Point segment_start(const Span& span, const Stroke& stroke, std::uint32_t index) {
    if (index == stroke.first_segment) return stroke.start;
    const Segment& before = span.segments[index - 1];
    return {before.x, before.y, before.z};
}

Point segment_end(const Span& span, std::uint32_t index) {
    const Segment& segment = span.segments[index];
    return {segment.x, segment.y, segment.z};
}

double segment_length(const Span& span, const Stroke& stroke, std::uint32_t index) {
    const Segment& segment = span.segments[index];
    const Point from = segment_start(span, stroke, index), to = segment_end(span, index);
    if (segment.arc < 0) return distance(from, to);
    return std::hypot(span.arcs[static_cast<std::size_t>(segment.arc)].length_mm(), to.z - from.z);
}

Point segment_point(const Span& span, const Stroke& stroke, std::uint32_t index, double fraction) {
    const Segment& segment = span.segments[index];
    const Point from = segment_start(span, stroke, index), to = segment_end(span, index);
    if (segment.arc < 0) return between(from, to, fraction);
    return along(span.arcs[static_cast<std::size_t>(segment.arc)], from, to, fraction);
}

void split_at_zones(const Span& span, const Stroke& stroke, const ZoneField& field,
                    const Placement& placement, std::vector<Run>& runs) {
    Walk(span, stroke, field, placement).run(runs);
}

void join_short_runs(std::vector<Run>& runs, double shortest_mm, bool closed) {
    join_same(runs);
    while (runs.size() > 1) {
        const std::size_t last = runs.size() - 1;
        // At the seam of a closed stroke, first and last run of one zone are one run.
        const bool seam_joined = closed && runs.front().zone == runs.back().zone;
        const auto at_seam = [&](std::size_t i) { return seam_joined && (i == 0 || i == last); };
        const auto effective = [&](std::size_t i) {
            return at_seam(i) ? runs.front().length_mm + runs.back().length_mm : runs[i].length_mm;
        };
        std::size_t shortest = 0;
        for (std::size_t i = 1; i <= last; ++i) {
            if (effective(i) < effective(shortest) - alike_mm) shortest = i;
        }
        if (effective(shortest) >= shortest_mm - alike_mm) return;
        const bool has_left = shortest > 0 || closed, has_right = shortest < last || closed;
        std::size_t left = shortest > 0 ? shortest - 1 : last;
        std::size_t right = shortest < last ? shortest + 1 : 0;
        if (at_seam(shortest)) {
            left = last - 1;
            right = 1;
        }
        const bool to_left =
            has_left && (!has_right || effective(left) >= effective(right) - alike_mm);
        const int zone = runs[to_left ? left : right].zone;
        if (at_seam(shortest)) runs.front().zone = runs.back().zone = zone;
        runs[shortest].zone = zone;
        join_same(runs);
    }
}

}  // namespace durograde::region
