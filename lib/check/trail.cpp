#include "check/trail.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

// Of arcs: a hundredth of a bead off at 0.5 mm radius, and a thirtieth of the radius at any.
constexpr double chord_mm = 0.2, chord_rad = 0.5;

double distance_to_line(const Point& p, const Point& a, const Point& b) {
    const double dx = b.x - a.x, dy = b.y - a.y;
    const double square = dx * dx + dy * dy;
    if (square <= 0) return distance_xy(p, a);
    const double share = std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0);
    return distance_xy(p, between(a, b, share));
}

}  // namespace

void Trail::begin(const Layer& layer, const Place& place) {
    points_.clear();
    length_mm_ = 0.0;
    add(layer.point_on(place.segment, place.share));
}

void Trail::trace(const Layer& layer, const Place& from, const Place& to, double most_mm) {
    const bool up =
        from.segment < to.segment || (from.segment == to.segment && from.share <= to.share);
    const double near_end = up ? 0.0 : 1.0, far_end = up ? 1.0 : 0.0;
    for (std::uint32_t i = from.segment; length_mm_ < most_mm; up ? ++i : --i) {
        const Segment& segment = layer.segments[i];
        const double begin = i == from.segment ? from.share : near_end;
        const double end = i == to.segment ? to.share : far_end;
        const double length = segment.length_mm * std::abs(end - begin);
        const double sweep =
            segment.arc >= 0
                ? std::abs(layer.arcs[static_cast<std::size_t>(segment.arc)].sweep_rad *
                           (end - begin))
                : 0.0;
        const int chords =
            segment.arc >= 0 ? static_cast<int>(std::max(length / chord_mm, sweep / chord_rad)) + 1
                             : 1;
        for (int c = 1; c <= chords; ++c)
            add(layer.point_on(i, begin + (end - begin) * c / chords));
        if (i == to.segment) break;
    }
    length_mm_ = std::min(length_mm_, most_mm);
}

void Trail::add(const Point& point) {
    if (!points_.empty()) length_mm_ += distance_xy(points_.back(), point);
    points_.push_back(point);
}

bool Trail::is_near(const Point& point) const {
    for (std::size_t i = 1; i < points_.size(); ++i) {
        if (distance_to_line(point, points_[i - 1], points_[i]) <= reach_mm_) return true;
    }
    return false;
}

}  // namespace durograde::check
