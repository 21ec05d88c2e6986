#include "region/hull.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::region {
namespace {

constexpr double rad_per_deg = std::numbers::pi / 180.0;
constexpr int directions = 90;
/// What straight segments in place of curves make two turns differ by, on average.
constexpr double fits_mm = 0.01;

/// Twice the area of the triangle, positive where it turns left.
double turn_of(const FlatPoint& a, const FlatPoint& b, const FlatPoint& c) {
    return (b.x_mm - a.x_mm) * (c.y_mm - a.y_mm) - (b.y_mm - a.y_mm) * (c.x_mm - a.x_mm);
}

/// The right-hand side of the hull of sorted points, from first to last.
template <typename Points>
void add_chain(const Points& points, std::vector<FlatPoint>& corners) {
    const std::size_t begin = corners.size();
    for (const FlatPoint& point : points) {
        while (corners.size() >= begin + 2 &&
               turn_of(corners[corners.size() - 2], corners.back(), point) <= 0)
            corners.pop_back();
        corners.push_back(point);
    }
    corners.pop_back();  // which begins the other side
}

/// Centroid of a polygon by its triangles with the first corner.
FlatPoint center_of(std::span<const FlatPoint> corners) {
    double area = 0.0, x = 0.0, y = 0.0;
    for (std::size_t i = 1; i + 1 < corners.size(); ++i) {
        const FlatPoint &a = corners[0], &b = corners[i], &c = corners[i + 1];
        const double part = turn_of(a, b, c);
        area += part;
        x += part * (a.x_mm + b.x_mm + c.x_mm) / 3;
        y += part * (a.y_mm + b.y_mm + c.y_mm) / 3;
    }
    if (area > 0) return {x / area, y / area};
    FlatPoint mean;
    for (const FlatPoint& corner : corners) {
        mean.x_mm += corner.x_mm / static_cast<double>(corners.size());
        mean.y_mm += corner.y_mm / static_cast<double>(corners.size());
    }
    return mean;
}

}  // namespace

Hull::Hull(std::vector<FlatPoint> points) {
    const auto before = [](const FlatPoint& a, const FlatPoint& b) {
        return a.x_mm != b.x_mm ? a.x_mm < b.x_mm : a.y_mm < b.y_mm;
    };
    const auto same = [](const FlatPoint& a, const FlatPoint& b) {
        return a.x_mm == b.x_mm && a.y_mm == b.y_mm;
    };
    std::sort(points.begin(), points.end(), before);
    points.erase(std::unique(points.begin(), points.end(), same), points.end());
    if (points.size() > 1) {
        add_chain(points, corners_);
        std::reverse(points.begin(), points.end());
        add_chain(points, corners_);
    } else {
        corners_ = std::move(points);
    }
    center_ = center_of(corners_);
}

FlatPoint Hull::box_center() const {
    if (corners_.empty()) return {};
    const auto by_x = [](const FlatPoint& a, const FlatPoint& b) { return a.x_mm < b.x_mm; };
    const auto by_y = [](const FlatPoint& a, const FlatPoint& b) { return a.y_mm < b.y_mm; };
    const auto [left, right] = std::minmax_element(corners_.begin(), corners_.end(), by_x);
    const auto [low, high] = std::minmax_element(corners_.begin(), corners_.end(), by_y);
    return {(left->x_mm + right->x_mm) / 2, (low->y_mm + high->y_mm) / 2};
}

/// How far the hull reaches from its centre.
double Hull::reach_mm(double direction_rad) const {
    const double cosine = std::cos(direction_rad), sine = std::sin(direction_rad);
    double farthest = 0.0;
    for (const FlatPoint& corner : corners_) {
        farthest = std::max(
            farthest, (corner.x_mm - center_.x_mm) * cosine + (corner.y_mm - center_.y_mm) * sine);
    }
    return farthest;
}

double Hull::misfit(const Hull& other, double turn_deg) const {
    double sum = 0.0;
    for (int i = 0; i < directions; ++i) {
        const double direction = 2 * std::numbers::pi * i / directions;
        const double off = reach_mm(direction) - other.reach_mm(direction + turn_deg * rad_per_deg);
        sum += off * off;
    }
    return sum;
}

double Hull::refined_turn(const Hull& other, double turn_deg) const {
    constexpr double whole_within_deg = 0.1, farthest_deg = 3.0;
    double best = turn_deg, least = misfit(other, turn_deg);
    for (int halvings = 0; halvings < 7; ++halvings) {
        const double step = 0.5 / (1 << halvings);
        const double around = best;
        for (int i = -6; i <= 6; ++i) {
            const double turn = around + i * step;
            if (std::abs(turn - turn_deg) > farthest_deg) continue;
            const double here = misfit(other, turn);
            if (here >= least) continue;
            least = here;
            best = turn;
        }
    }
    // What is round fits at every turn, and counts as not turned.
    if (turn_deg == 0.0 && misfit(other, turn_deg) <= least + directions * fits_mm * fits_mm)
        best = turn_deg;
    const double whole = std::round(best);
    return std::abs(best - whole) <= whole_within_deg ? whole : std::round(best * 100) / 100;
}

}  // namespace durograde::region
