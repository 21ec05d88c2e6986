#pragma once

#include <array>
#include <cmath>
#include <numbers>
#include <variant>

#include "../mesh/solids.hpp"
#include "plan/plan.hpp"
#include "random.hpp"

/// Shapes at random, and their surfaces and insides written down a second time.
namespace durograde::region_test {

using plan::Vec3;

inline double apart(const Vec3& a, const Vec3& b) {
    return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

inline Vec3 random_point(sheets::Random& random) {
    const auto any = [&] { return random.between(-12'000, 12'000) * 1e-3; };
    return {any(), any(), any()};
}

inline double random_size(sheets::Random& random) {
    return random.between(200, 6'000) * 1e-3;
}

inline plan::Shape random_box(sheets::Random& random) {
    const Vec3 size = {random_size(random), random_size(random), random_size(random)};
    return {"box", plan::Box{random_point(random), size, 0.0}};
}

/// Along an axis of the coordinates, so that its surface can be written down easily.
inline plan::Shape random_cone(sheets::Random& random) {
    const Vec3 from = random_point(random);
    Vec3 to = from;
    to[2] += random_size(random);
    const double tip = random.chance(30) ? 0.0 : random_size(random);
    return {"cone", plan::Cone{from, to, {random_size(random), tip}}};
}

/// A box as a mesh of its faces.
inline plan::Shape random_mesh(sheets::Random& random) {
    const plan::Shape shape = random_box(random);
    const auto& box = std::get<plan::Box>(shape.form);
    const Vec3 low = {box.center[0] - box.size[0] / 2, box.center[1] - box.size[1] / 2,
                      box.center[2] - box.size[2] / 2};
    return {"s", plan::Mesh{"", "", mesh_test::welded(mesh_test::box(low, box.size))}};
}

inline plan::Shape random_shape(sheets::Random& random) {
    const Vec3 a = random_point(random), b = random_point(random);
    const double size = random_size(random);
    switch (random.between(0, 7)) {
        case 0:
            return {"s", plan::Sphere{a, size}};
        case 1:
            return random_box(random);
        case 2:
            return {"s", plan::Box{a, {3, 4, 5}, random.between(0, 149) * 0.01}};
        case 3:
            return {"s", plan::Capsule{a, b, size}};
        case 4:
            return {"s", plan::Cylinder{a, b, size}};
        case 5:
            return {"s", plan::Cone{a, b, {size, random_size(random)}}};
        case 6:
            return random_mesh(random);
        default:
            return {"s", plan::Plane{a, b}};
    }
}

inline bool is_inside(const plan::Shape& shape, const Vec3& p) {
    if (const auto* box = std::get_if<plan::Box>(&shape.form)) {
        for (std::size_t i = 0; i < 3; ++i) {
            if (std::abs(p[i] - box->center[i]) >= box->size[i] / 2) return false;
        }
        return true;
    }
    const auto& cone = std::get<plan::Cone>(shape.form);
    const double share = (p[2] - cone.from[2]) / (cone.to[2] - cone.from[2]);
    const double radius = cone.radius[0] + (cone.radius[1] - cone.radius[0]) * share;
    return share > 0 && share < 1 && std::hypot(p[0] - cone.from[0], p[1] - cone.from[1]) < radius;
}

/// Calls `act(point, spacing)` over the surface of a box or an upright cone; no surface point is
/// farther than `spacing` from the nearest call's point.
template <typename Act>
void for_each_surface_point(const plan::Shape& shape, int steps, Act act) {
    if (const auto* box = std::get_if<plan::Box>(&shape.form)) {
        for (std::size_t face = 0; face < 6; ++face) {
            const std::size_t n = face / 2, u = (n + 1) % 3, v = (n + 2) % 3;
            const double spacing = std::hypot(box->size[u], box->size[v]) / steps;
            for (int i = 0; i <= steps; ++i) {
                for (int j = 0; j <= steps; ++j) {
                    Vec3 at = box->center;
                    at[n] += (face % 2 == 0 ? 0.5 : -0.5) * box->size[n];
                    at[u] += (1.0 * i / steps - 0.5) * box->size[u];
                    at[v] += (1.0 * j / steps - 0.5) * box->size[v];
                    act(at, spacing);
                }
            }
        }
        return;
    }
    const auto& cone = std::get<plan::Cone>(shape.form);
    const double height = cone.to[2] - cone.from[2];
    const double widest = std::max(cone.radius[0], cone.radius[1]);
    const double around = 2 * std::numbers::pi * widest / (3 * steps);
    for (int i = 0; i < 3 * steps; ++i) {
        const double angle = 2 * std::numbers::pi * i / (3 * steps);
        for (int j = 0; j <= steps; ++j) {
            const double share = 1.0 * j / steps;
            const auto at = [&](double radius, double z) {
                return Vec3{cone.from[0] + radius * std::cos(angle),
                            cone.from[1] + radius * std::sin(angle), z};
            };
            const double slope = std::hypot(height, cone.radius[1] - cone.radius[0]) / steps;
            const double spacing = std::hypot(around, std::max(slope, widest / steps));
            act(at(cone.radius[0] * share, cone.from[2]), spacing);
            act(at(cone.radius[1] * share, cone.to[2]), spacing);
            act(at(cone.radius[0] + (cone.radius[1] - cone.radius[0]) * share,
                   cone.from[2] + height * share),
                spacing);
        }
    }
}

}  // namespace durograde::region_test
