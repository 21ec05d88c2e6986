#include "region/shapes.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

using plan::Vec3;

Vec3 minus(const Vec3& a, const Vec3& b) {
    return {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
}
double dot(const Vec3& a, const Vec3& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
double norm(const Vec3& a) {
    return std::sqrt(dot(a, a));
}

/// A point seen from an axis: along it from `from`, and away from it.
struct Axial {
    double along = 0.0, away = 0.0, length = 0.0;
};

Axial axial(const Vec3& from, const Vec3& to, const Vec3& point) {
    const Vec3 axis = minus(to, from);
    const Vec3 offset = minus(point, from);
    const double length = norm(axis);
    const double along = dot(offset, axis) / length;
    return {along, std::sqrt(std::max(0.0, dot(offset, offset) - along * along)), length};
}

/// Distance from a point outside or inside of a rectangle-like pair of bounds: each argument is how
/// far the point lies beyond one pair of faces, negative inside.
double beyond(double a, double b) {
    return std::hypot(std::max(a, 0.0), std::max(b, 0.0)) + std::min(std::max(a, b), 0.0);
}

/// Distance from (px, py) to the segment a-b in the plane.
double to_segment(double px, double py, double ax, double ay, double bx, double by) {
    const double dx = bx - ax, dy = by - ay;
    const double square = dx * dx + dy * dy;
    const double t =
        square > 0 ? std::clamp(((px - ax) * dx + (py - ay) * dy) / square, 0.0, 1.0) : 0.0;
    return std::hypot(px - ax - t * dx, py - ay - t * dy);
}

}  // namespace

double distance(const plan::Sphere& sphere, const Vec3& point) {
    return norm(minus(point, sphere.center)) - sphere.radius;
}

double distance(const plan::Box& box, const Vec3& point) {
    Vec3 out{};
    double inside = -1e30;
    double square = 0.0;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        out[axis] = std::abs(point[axis] - box.center[axis]) - (box.size[axis] / 2 - box.round);
        inside = std::max(inside, out[axis]);
        const double positive = std::max(out[axis], 0.0);
        square += positive * positive;
    }
    return std::sqrt(square) + std::min(inside, 0.0) - box.round;
}

double distance(const plan::Capsule& capsule, const Vec3& point) {
    const Vec3 axis = minus(capsule.to, capsule.from);
    const Vec3 offset = minus(point, capsule.from);
    const double square = dot(axis, axis);
    const double t = square > 0 ? std::clamp(dot(offset, axis) / square, 0.0, 1.0) : 0.0;
    const Vec3 rest = {offset[0] - t * axis[0], offset[1] - t * axis[1], offset[2] - t * axis[2]};
    return norm(rest) - capsule.radius;
}

double distance(const plan::Cylinder& cylinder, const Vec3& point) {
    const Axial at = axial(cylinder.from, cylinder.to, point);
    const double beyond_ends = std::max(-at.along, at.along - at.length);
    return beyond(at.away - cylinder.radius, beyond_ends);
}

double distance(const plan::Cone& cone, const Vec3& point) {
    const Axial at = axial(cone.from, cone.to, point);
    const double r0 = cone.radius[0], r1 = cone.radius[1];
    // The nearest of the profile's three edges: both flat ends and the slope between them.
    const double nearest = std::min({to_segment(at.along, at.away, 0, 0, 0, r0),
                                     to_segment(at.along, at.away, 0, r0, at.length, r1),
                                     to_segment(at.along, at.away, at.length, r1, at.length, 0)});
    const double radius_here = r0 + (r1 - r0) * at.along / at.length;
    const bool inside = at.along > 0 && at.along < at.length && at.away < radius_here;
    return inside ? -nearest : nearest;
}

double distance(const plan::Plane& plane, const Vec3& point) {
    return dot(minus(point, plane.point), plane.normal) / norm(plane.normal);
}

}  // namespace durograde::region
