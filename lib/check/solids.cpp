#include "check/solids.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "mesh/triangles.hpp"

namespace durograde::check {
namespace {

using plan::Vec3;

Vec3 operator-(const Vec3& a, const Vec3& b) {
    return {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
}
Vec3 operator+(const Vec3& a, const Vec3& b) {
    return {a[0] + b[0], a[1] + b[1], a[2] + b[2]};
}
Vec3 operator*(double factor, const Vec3& a) {
    return {factor * a[0], factor * a[1], factor * a[2]};
}
double inner(const Vec3& a, const Vec3& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
Vec3 outer(const Vec3& a, const Vec3& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
double length(const Vec3& a) {
    return std::sqrt(inner(a, a));
}

Vec3 nearest_on_segment(const Vec3& from, const Vec3& to, const Vec3& at) {
    const Vec3 way = to - from;
    const double square = inner(way, way);
    if (square == 0.0) return from;
    return from + std::clamp(inner(at - from, way) / square, 0.0, 1.0) * way;
}

/// Above and beside an axis that begins at the origin.
struct Profile {
    double along_mm = 0.0, beside_mm = 0.0, axis_mm = 0.0;
};

Profile profile_of(const Vec3& from, const Vec3& to, const Vec3& at) {
    const Vec3 axis = to - from;
    const double mm = length(axis);
    return {inner(at - from, axis) / mm, length(outer(at - from, axis)) / mm, mm};
}

double off(const plan::Sphere& ball, const Vec3& at) {
    return length(at - ball.center) - ball.radius;
}

/// The box without its roundings is the core; what lies `round` from it is the surface.
double off(const plan::Box& box, const Vec3& at) {
    Vec3 nearest{};
    double to_face = std::numeric_limits<double>::infinity();
    bool is_in_core = true;
    for (std::size_t i = 0; i < 3; ++i) {
        const double low = box.center[i] - box.size[i] / 2 + box.round;
        const double high = box.center[i] + box.size[i] / 2 - box.round;
        nearest[i] = std::clamp(at[i], low, high);
        is_in_core = is_in_core && at[i] >= low && at[i] <= high;
        to_face = std::min({to_face, at[i] - low, high - at[i]});
    }
    return is_in_core ? -to_face - box.round : length(at - nearest) - box.round;
}

double off(const plan::Capsule& capsule, const Vec3& at) {
    return length(at - nearest_on_segment(capsule.from, capsule.to, at)) - capsule.radius;
}

double off(const plan::Cylinder& cylinder, const Vec3& at) {
    const auto [along, beside, axis] = profile_of(cylinder.from, cylinder.to, at);
    const double over = along - std::clamp(along, 0.0, axis);
    const double out = beside - std::min(beside, cylinder.radius);
    if (over != 0.0 || out != 0.0) return std::hypot(over, out);
    return -std::min({along, axis - along, cylinder.radius - beside});
}

/// The profile is a convex polygon: inside it the nearest edge is the nearest of their lines.
double off(const plan::Cone& cone, const Vec3& at) {
    const auto [along, beside, axis] = profile_of(cone.from, cone.to, at);
    const double r0 = cone.radius[0], r1 = cone.radius[1];
    const double slant = std::hypot(axis, r1 - r0);
    // Beyond the slope, measured at right angles to it.
    const double beyond = ((beside - r0) * axis - along * (r1 - r0)) / slant;
    if (along >= 0 && along <= axis && beyond <= 0)
        return -std::min({along, axis - along, -beyond});
    const Vec3 here{along, beside, 0.0};
    const std::array<Vec3, 4> corners = {Vec3{0, 0, 0}, {0, r0, 0}, {axis, r1, 0}, {axis, 0, 0}};
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i + 1 < corners.size(); ++i)
        least =
            std::min(least, length(here - nearest_on_segment(corners[i], corners[i + 1], here)));
    return least;
}

double off(const plan::Plane& plane, const Vec3& at) {
    return inner(at - plane.point, plane.normal) / length(plane.normal);
}

/// By the Voronoi regions of corners, edges and face (Ericson, Real-Time Collision Detection, 2005,
/// 5.1.5; from memory).
double to_triangle_mm(const std::array<Vec3, 3>& corners, const Vec3& at) {
    const auto& [a, b, c] = corners;
    const Vec3 normal = outer(b - a, c - a);
    const double square = inner(normal, normal);
    const Vec3 from_a = at - a;
    // Shares of the corners in the foot of the perpendicular.
    const double share_c = inner(outer(b - a, from_a), normal) / square;
    const double share_b = inner(outer(from_a, c - a), normal) / square;
    if (share_b >= 0 && share_c >= 0 && share_b + share_c <= 1)
        return std::abs(inner(from_a, normal)) / std::sqrt(square);
    return std::min({length(at - nearest_on_segment(a, b, at)),
                     length(at - nearest_on_segment(b, c, at)),
                     length(at - nearest_on_segment(c, a, at))});
}

/// Whether a ray from `at` passes through the triangle (Möller and Trumbore 1997).
bool is_crossed(const std::array<Vec3, 3>& corners, const Vec3& at, const Vec3& ray) {
    const Vec3 ab = corners[1] - corners[0], ac = corners[2] - corners[0];
    const Vec3 across = outer(ray, ac);
    const double size = inner(ab, across);
    if (size == 0.0) return false;
    const Vec3 from = at - corners[0];
    const double u = inner(from, across) / size;
    if (u < 0 || u > 1) return false;
    const Vec3 turned = outer(from, ab);
    const double v = inner(ray, turned) / size;
    return v >= 0 && u + v <= 1 && inner(ac, turned) / size > 0;
}

/// Inside where most of three rays leave the surface an odd number of times: one of them may run
/// through an edge.
double off(const plan::Mesh& mesh, const Vec3& at) {
    constexpr std::array<Vec3, 3> rays = {
        Vec3{0.8017, 0.2673, 0.5345}, {-0.3651, 0.9129, 0.1826}, {0.1690, -0.5071, 0.8452}};
    double least = std::numeric_limits<double>::infinity();
    std::array<bool, 3> odd{};
    for (std::size_t i = 0; i < mesh.triangles->corners.size(); ++i) {
        const std::array<Vec3, 3> corners = mesh.triangles->triangle(i);
        least = std::min(least, to_triangle_mm(corners, at));
        for (std::size_t r = 0; r < rays.size(); ++r)
            odd[r] = odd[r] != is_crossed(corners, at, rays[r]);
    }
    return std::count(odd.begin(), odd.end(), true) >= 2 ? -least : least;
}

}  // namespace

double off_surface_mm(const plan::Shape& shape, const Vec3& at) {
    return std::visit([&](const auto& form) { return off(form, at); }, shape.form);
}

std::size_t triangles_of(const plan::Shape& shape) {
    const auto* mesh = std::get_if<plan::Mesh>(&shape.form);
    return mesh != nullptr ? mesh->triangles->corners.size() : 0;
}

}  // namespace durograde::check
