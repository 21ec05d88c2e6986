#include "mesh/winding.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "solids.hpp"

/// How often a surface goes round a point.
namespace durograde {
namespace {

using mesh::Point;

double by_all(const mesh::Triangles& triangles, const Point& point) {
    double sum = 0.0;
    for (std::size_t i = 0; i < triangles.corners.size(); ++i)
        sum += mesh::share_of_sphere(triangles.triangle(i), point);
    return sum;
}

}  // namespace

TEST_CASE("the share of a triangle in the sphere", "[mesh]") {
    // From the origin, the triangle of the unit vectors takes one octant: 1/8 of the sphere.
    const std::array<Point, 3> octant = {{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
    CHECK(mesh::share_of_sphere(octant, {0, 0, 0}) == Approx(0.125));
    const std::array<Point, 3> other_way = {{{1, 0, 0}, {0, 0, 1}, {0, 1, 0}}};
    CHECK(mesh::share_of_sphere(other_way, {0, 0, 0}) == Approx(-0.125));
    // From its centre, each of the 12 triangles of a cube's faces takes a twelfth.
    const mesh::Triangles cube = mesh::weld(mesh_test::box({-1, -1, -1}, {2, 2, 2}));
    for (std::size_t i = 0; i < 12; ++i)
        CHECK(mesh::share_of_sphere(cube.triangle(i), {0, 0, 0}) == Approx(1.0 / 12));
}

TEST_CASE("a closed surface goes once round what is inside and not round the rest", "[mesh]") {
    const mesh::Triangles ball = mesh::weld(mesh_test::ball(7, 40));
    const mesh::Winding winding(ball);
    sheets::Random random(3);
    for (int i = 0; i < 2000; ++i) {
        const Point point = mesh_test::random_point(random, 12);
        const double away = std::hypot(point[0], point[1], point[2]);
        if (std::abs(away - 7) < 0.03) continue;  // the flat triangles lie up to 0.022 mm inside
        const double exact = by_all(ball, point);
        CHECK(exact == Approx(away < 7 ? 1 : 0).margin(1e-9));
        CHECK(winding.at(point) == Approx(exact).margin(0.1));
    }
}

TEST_CASE("groups hardly differ from their triangles on any surface", "[mesh]") {
    REQUIRE(rc::check("random boxes that overlap", [](std::uint64_t seed) {
        sheets::Random random(seed);
        mesh_test::Soup soup;
        for (int i = random.between(1, 30); i > 0; --i) {
            const auto one = mesh_test::box(mesh_test::random_point(random, 10),
                                            {random.stepped(1, 80, 0.1), random.stepped(1, 80, 0.1),
                                             random.stepped(1, 80, 0.1)});
            soup.insert(soup.end(), one.begin(), one.end());
        }
        const mesh::Triangles triangles = mesh::weld(soup);
        const mesh::Winding winding(triangles);
        for (int i = 0; i < 20; ++i) {
            const Point point = mesh_test::random_point(random, 25);
            const double exact = by_all(triangles, point);
            RC_ASSERT(std::abs(winding.at(point) - exact) < 0.25);
            RC_ASSERT((winding.at(point) >= 0.5) == (exact >= 0.5));
        }
    }));
}

}  // namespace durograde
