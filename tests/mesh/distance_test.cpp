#include "mesh/distance.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "plan/plan.hpp"
#include "region/shapes.hpp"
#include "solids.hpp"

/// Signed distances to meshes, against the solids that they mesh.
namespace durograde {
namespace {

using mesh::Distance;
using mesh::Point;
using mesh_test::random_point;
using mesh_test::welded;

}  // namespace

TEST_CASE("a box as a mesh is the box as a form", "[mesh]") {
    const Distance distance(welded(mesh_test::box({-4, -2, 1}, {8, 5, 3})));
    const plan::Box form{{0, 0.5, 2.5}, {8, 5, 3}, 0};
    sheets::Random random(5);
    for (int i = 0; i < 2000; ++i) {
        const Point point = random_point(random, 12);
        CHECK(distance.exact_mm(point) == Approx(region::distance(form, point)).margin(1e-12));
    }
}

TEST_CASE("a fine mesh of a ball is the ball but for its flat faces", "[mesh]") {
    constexpr int steps = 90;
    constexpr double radius = 9;
    const Distance distance(welded(mesh_test::ball(radius, steps)));
    // A chord lies inside of its arc by r·(1 − cos(α/2)); a face by no more than its two ways
    // together, α = π/steps in either.
    const double inside_mm = 2 * radius * (1 - std::cos(std::numbers::pi / steps / 2));
    sheets::Random random(6);
    for (int i = 0; i < 5000; ++i) {
        const Point point = random_point(random, 15);
        const double exact = std::hypot(point[0], point[1], point[2]) - radius;
        CHECK(distance.exact_mm(point) >= exact - 1e-9);
        CHECK(distance.exact_mm(point) <= exact + inside_mm);
    }
}

TEST_CASE("the rough distance is near the exact one", "[mesh]") {
    REQUIRE(rc::check("boxes of any size", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const Distance distance(welded(mesh_test::box(
            random_point(random, 20), {random.stepped(1, 800, 0.1), random.stepped(1, 80, 0.1),
                                       random.stepped(1, 80, 0.1)})));
        for (int i = 0; i < 100; ++i) {
            const Point point = random_point(random, 60);
            RC_ASSERT(std::abs(distance.rough_mm(point) - distance.exact_mm(point)) <=
                      distance.off_mm());
            // And again, from what is known now.
            RC_ASSERT(std::abs(distance.rough_mm(point) - distance.exact_mm(point)) <=
                      distance.off_mm());
        }
    }));
}

TEST_CASE("distances to closed surfaces change no faster than one moves", "[mesh]") {
    const Distance distance(welded(mesh_test::ball(6, 25)));
    sheets::Random random(7);
    for (int i = 0; i < 3000; ++i) {
        const Point a = random_point(random, 9);
        const Point off = random_point(random, 1);
        const Point b = {a[0] + off[0], a[1] + off[1], a[2] + off[2]};
        CHECK(std::abs(distance.exact_mm(a) - distance.exact_mm(b)) <=
              std::hypot(off[0], off[1], off[2]) + 1e-9);
    }
}

TEST_CASE("the sign is right farther from a hole than it is wide", "[mesh]") {
    const mesh_test::Soup soup = mesh_test::ball(8, 40);
    // The cap about the upper pole is left out: its rim is 2 · 8 · sin(27°) = 7.3 mm wide.
    constexpr int open_bands = 6;
    const double rim = std::numbers::pi * open_bands / 40;
    mesh_test::Soup open;
    for (std::size_t i = 0; i < soup.size(); i += 3) {
        const double middle_z = (soup[i][2] + soup[i + 1][2] + soup[i + 2][2]) / 3;
        if (middle_z < 8 * std::cos(rim)) open.insert(open.end(), &soup[i], &soup[i] + 3);
    }
    const auto triangles = welded(open);
    REQUIRE(mesh::open_edges(*triangles).count == 80);
    const double width = 2 * 8 * std::sin(rim);
    const Distance distance(triangles);
    sheets::Random random(8);
    int near_hole = 0, wrong_near = 0;
    for (int i = 0; i < 5000; ++i) {
        const Point point = random_point(random, 14);
        const double away = std::hypot(point[0], point[1], point[2]);
        if (std::abs(away - 8) < 0.05) continue;
        const bool is_right = (distance.exact_mm(point) < 0) == (away < 8);
        if (std::hypot(point[0], point[1], point[2] - 8 * std::cos(rim)) > width) {
            CHECK(is_right);
        } else {
            ++near_hole;
            wrong_near += is_right ? 0 : 1;
        }
    }
    CHECK(near_hole > 100);
    CHECK(wrong_near < near_hole / 4);
}

}  // namespace durograde
