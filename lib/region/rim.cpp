#include "region/rim.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::region {
namespace {

/// Middle of a polygon's area, which a turn moves as it does the polygon.
FlatPoint middle_of(std::span<const FlatPoint> corners) {
    const FlatPoint& base = corners.front();
    double area = 0.0, x = 0.0, y = 0.0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const FlatPoint &a = corners[i], &b = corners[(i + 1) % corners.size()];
        const double ax = a.x_mm - base.x_mm, ay = a.y_mm - base.y_mm;
        const double bx = b.x_mm - base.x_mm, by = b.y_mm - base.y_mm;
        const double part = ax * by - ay * bx;
        area += part;
        x += part * (ax + bx) / 3;
        y += part * (ay + by) / 3;
    }
    return {base.x_mm + x / area, base.y_mm + y / area};
}

}  // namespace

Rim::Rim(std::span<const FlatPoint> corners) {
    // An island without a closed loop has no rim.
    const FlatPoint middle = corners.empty() ? FlatPoint{} : middle_of(corners);
    for (const FlatPoint& corner : corners)
        corners_.push_back({corner.x_mm - middle.x_mm, corner.y_mm - middle.y_mm});
    for (std::size_t i = 0; i < corners_.size(); ++i) {
        sides_.push_back(corners_[i]);
        sides_.push_back(corners_[(i + 1) % corners_.size()]);
    }
    index_.emplace(sides_, beyond_mm);
}

/// Of the corners of this rim, turned, from the sides of the other.
double Rim::farthest_mm(const Rim& other, double turn_deg) const {
    const double turn = turn_deg * std::numbers::pi / 180;
    const double cosine = std::cos(turn), sine = std::sin(turn);
    double farthest = 0.0;
    for (const FlatPoint& corner : corners_) {
        const FlatPoint at = {corner.x_mm * cosine - corner.y_mm * sine,
                              corner.x_mm * sine + corner.y_mm * cosine};
        farthest = std::max(farthest, other.index_->distance_mm(at).value_or(beyond_mm));
        if (farthest >= beyond_mm) break;
    }
    return std::min(farthest, beyond_mm);
}

std::optional<double> Rim::misfit_mm(const Rim& other, double turn_deg) const {
    if (!exists() || !other.exists()) return std::nullopt;
    return std::max(farthest_mm(other, turn_deg), other.farthest_mm(*this, -turn_deg));
}

}  // namespace durograde::region
