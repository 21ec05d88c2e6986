#include "mesh/winding.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "mesh/vectors.hpp"

namespace durograde::mesh {
namespace {

constexpr std::uint32_t smallest_group = 8;
/// A group is one dipole from twice its radius on, as the paper finds good.
constexpr double far = 2.0;
constexpr double whole_sphere = 4 * std::numbers::pi;

Point center_of(const std::array<Point, 3>& triangle) {
    return (1.0 / 3) * (triangle[0] + triangle[1] + triangle[2]);
}

Point area_of(const std::array<Point, 3>& triangle) {
    return 0.5 * cross(triangle[1] - triangle[0], triangle[2] - triangle[0]);
}

}  // namespace

double share_of_sphere(const std::array<Point, 3>& triangle, const Point& point) {
    const Point a = triangle[0] - point, b = triangle[1] - point, c = triangle[2] - point;
    const double la = norm(a), lb = norm(b), lc = norm(c);
    const double y = dot(a, cross(b, c));
    const double x = la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb;
    return 2 * std::atan2(y, x) / whole_sphere;
}

Winding::Winding(const Triangles& triangles)
    : triangles_(&triangles), order_(triangles.corners.size()) {
    std::iota(order_.begin(), order_.end(), 0U);
    groups_.reserve(order_.size() / 2);
    build(0, static_cast<std::uint32_t>(order_.size()));
}

Winding::Group Winding::sum_up(std::uint32_t first, std::uint32_t last) const {
    Group group;
    group.first = first;
    group.last = last;
    double areas = 0.0;
    for (std::uint32_t i = first; i < last; ++i) {
        const auto triangle = triangles_->triangle(order_[i]);
        const Point area = area_of(triangle);
        group.area_mm2 = group.area_mm2 + area;
        group.center = group.center + norm(area) * center_of(triangle);
        areas += norm(area);
    }
    group.center = (1 / areas) * group.center;
    for (std::uint32_t i = first; i < last; ++i) {
        for (const Point& corner : triangles_->triangle(order_[i]))
            group.radius_mm = std::max(group.radius_mm, norm(corner - group.center));
    }
    return group;
}

/// Halves the triangles along the axis on which their centres lie widest apart.
void Winding::build(std::uint32_t first, std::uint32_t last) {
    const std::size_t self = groups_.size();
    groups_.push_back(sum_up(first, last));
    if (last - first > smallest_group) {
        Point low{1e30, 1e30, 1e30}, high{-1e30, -1e30, -1e30};
        for (std::uint32_t i = first; i < last; ++i) {
            const Point center = center_of(triangles_->triangle(order_[i]));
            for (std::size_t axis = 0; axis < 3; ++axis) {
                low[axis] = std::min(low[axis], center[axis]);
                high[axis] = std::max(high[axis], center[axis]);
            }
        }
        const Point size = high - low;
        const auto axis =
            static_cast<std::size_t>(std::max_element(size.begin(), size.end()) - size.begin());
        const std::uint32_t middle = first + (last - first) / 2;
        std::nth_element(order_.begin() + first, order_.begin() + middle, order_.begin() + last,
                         [&](std::uint32_t a, std::uint32_t b) {
                             return center_of(triangles_->triangle(a))[axis] <
                                    center_of(triangles_->triangle(b))[axis];
                         });
        build(first, middle);
        build(middle, last);
    }
    groups_[self].next = static_cast<std::uint32_t>(groups_.size());
}

double Winding::at(const Point& point) const {
    std::size_t looks = 0;
    return sum(point, looks);
}

std::size_t Winding::looks(const Point& point) const {
    std::size_t looks = 0;
    static_cast<void>(sum(point, looks));
    return looks;
}

double Winding::sum(const Point& point, std::size_t& looks) const {
    double sum = 0.0;
    for (std::uint32_t i = 0; i < groups_.size();) {
        ++looks;
        const Group& group = groups_[i];
        const Point away = group.center - point;
        const double distance = norm(away);
        const bool is_leaf = group.last - group.first <= smallest_group;
        if (distance > far * group.radius_mm) {
            sum += dot(away, group.area_mm2) / (whole_sphere * distance * distance * distance);
            i = group.next;
        } else if (is_leaf) {
            for (std::uint32_t j = group.first; j < group.last; ++j)
                sum += share_of_sphere(triangles_->triangle(order_[j]), point);
            looks += group.last - group.first;
            i = group.next;
        } else {
            ++i;
        }
    }
    return sum;
}

}  // namespace durograde::mesh
