#include "region/hull.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::region {
namespace {

constexpr double rad_per_deg = std::numbers::pi / 180.0;
/// What straight segments in place of curves make two turns differ by, on average.
constexpr double fits_mm = 0.01;

/// Unit vectors all around, counter-clockwise from x.
template <std::size_t count>
const std::array<FlatPoint, count>& compass() {
    static const auto all = [] {
        std::array<FlatPoint, count> made;
        for (std::size_t i = 0; i < count; ++i) {
            const double rad = 2 * std::numbers::pi * static_cast<double>(i) / count;
            made[i] = {std::cos(rad), std::sin(rad)};
        }
        return made;
    }();
    return all;
}

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

/// How far the hull reaches from its centre in directions all around, the first turned by so much.
/// The corner that lies farthest moves on round the hull as the direction does.
Hull::Reaches Hull::reaches_mm(double turn_deg) const {
    Reaches reaches{};
    const double turn_cosine = std::cos(turn_deg * rad_per_deg);
    const double turn_sine = std::sin(turn_deg * rad_per_deg);
    const std::size_t count = corners_.size();
    std::size_t farthest = 0;
    for (std::size_t i = 0; i < directions && count > 0; ++i) {
        const FlatPoint& way = compass<directions>()[i];
        const FlatPoint direction = {way.x_mm * turn_cosine - way.y_mm * turn_sine,
                                     way.y_mm * turn_cosine + way.x_mm * turn_sine};
        const auto along = [&](std::size_t corner) {
            return (corners_[corner].x_mm - center_.x_mm) * direction.x_mm +
                   (corners_[corner].y_mm - center_.y_mm) * direction.y_mm;
        };
        for (std::size_t corner = 0; i == 0 && corner < count; ++corner)
            if (along(corner) > along(farthest)) farthest = corner;
        for (std::size_t steps = 0; steps < count; ++steps) {
            const std::size_t next = (farthest + 1) % count;
            if (along(next) < along(farthest)) break;
            farthest = next;
        }
        reaches[i] = std::max(0.0, along(farthest));
    }
    return reaches;
}

/// `own` are the reaches of a hull that is not turned.
double Hull::misfit(const Reaches& own, const Hull& other, double turn_deg) {
    const Reaches others = other.reaches_mm(turn_deg);
    double sum = 0.0;
    for (std::size_t i = 0; i < directions; ++i) {
        const double off = own[i] - others[i];
        sum += off * off;
    }
    return sum;
}

double Hull::refined_turn(const Hull& other, double turn_deg) const {
    constexpr double whole_within_deg = 0.1, farthest_deg = 3.0;
    const Reaches own = reaches_mm(0.0);
    double best = turn_deg, least = misfit(own, other, turn_deg);
    for (int halvings = 0; halvings < 7; ++halvings) {
        const double step = 0.5 / (1 << halvings);
        const double around = best;
        for (int i = -6; i <= 6; ++i) {
            const double turn = around + i * step;
            if (std::abs(turn - turn_deg) > farthest_deg) continue;
            const double here = misfit(own, other, turn);
            if (here >= least) continue;
            least = here;
            best = turn;
        }
    }
    // What is round fits at every turn, and counts as not turned.
    if (turn_deg == 0.0 &&
        misfit(own, other, turn_deg) <= least + static_cast<double>(directions) * fits_mm * fits_mm)
        best = turn_deg;
    const double whole = std::round(best);
    return std::abs(best - whole) <= whole_within_deg ? whole : std::round(best * 100) / 100;
}

}  // namespace durograde::region
