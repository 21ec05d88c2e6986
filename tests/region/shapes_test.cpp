#include "region/shapes.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "random.hpp"
#include "random_shapes.hpp"
#include "region/fields.hpp"

/// Signed distances, worked out by hand from the solids' definitions.
namespace durograde {
namespace {

using plan::Vec3;
using region::distance;
using region_test::apart;
using region_test::random_point;
using region_test::random_shape;

double distance_to(const plan::Shape& shape, const Vec3& point) {
    return region::Field(shape).exact_mm(point);
}

}  // namespace

TEST_CASE("distances to a box", "[region]") {
    const plan::Box box{{0, 0, 0}, {2, 4, 6}, 0};
    CHECK(distance(box, {2, 3, 4}) == Approx(1.7320508076).epsilon(1e-10));
    CHECK(distance(box, {0, 0, 0}) == Approx(-1).epsilon(1e-12));
    CHECK(distance(box, {0.5, 0, 0}) == Approx(-0.5).epsilon(1e-12));
    CHECK(distance(box, {1.5, 0, 0}) == Approx(0.5).epsilon(1e-12));
    CHECK(distance(box, {2, 3, 0}) == Approx(1.4142135624).epsilon(1e-10));
    CHECK(distance(box, {0, 1.9, 0}) == Approx(-0.1).epsilon(1e-10));
    // Rounding takes away from the corners and leaves the faces.
    const plan::Box round{{10, 0, 0}, {2, 4, 6}, 0.5};
    CHECK(distance(round, {11, 0, 0}) == Approx(0).margin(1e-12));
    CHECK(distance(round, {10, 0, 0}) == Approx(-1).epsilon(1e-12));
    CHECK(distance(round, {11, 2, 3}) == Approx(0.5 * std::sqrt(3.0) - 0.5).epsilon(1e-12));
}

TEST_CASE("distances to a cylinder", "[region]") {
    const plan::Cylinder cylinder{{0, 0, -1}, {0, 0, 1}, 2};
    CHECK(distance(cylinder, {0, 0, 0}) == Approx(-1).epsilon(1e-12));
    CHECK(distance(cylinder, {5, 0, 0}) == Approx(3).epsilon(1e-12));
    CHECK(distance(cylinder, {3, 0, 3}) == Approx(2.2360679775).epsilon(1e-10));
    CHECK(distance(cylinder, {0, 0, 3}) == Approx(2).epsilon(1e-12));
    CHECK(distance(cylinder, {1.9, 0, 0}) == Approx(-0.1).epsilon(1e-10));
    const plan::Cylinder lying{{1, 1, 1}, {5, 1, 1}, 2};
    CHECK(distance(lying, {3, 1, 6}) == Approx(3).epsilon(1e-12));
    CHECK(distance(lying, {7, 1, 1}) == Approx(2).epsilon(1e-12));
}

TEST_CASE("distances to a capsule and a sphere", "[region]") {
    const plan::Capsule capsule{{0, 0, 0}, {4, 0, 0}, 1};
    CHECK(distance(capsule, {2, 3, 0}) == Approx(2).epsilon(1e-12));
    CHECK(distance(capsule, {5, 0, 0}) == Approx(0).margin(1e-12));
    CHECK(distance(capsule, {-3, 4, 0}) == Approx(4).epsilon(1e-12));
    CHECK(distance(capsule, {0, 0, 0}) == Approx(-1).epsilon(1e-12));
    const plan::Capsule ball{{1, 1, 1}, {1, 1, 1}, 2};
    const plan::Sphere sphere{{1, 1, 1}, 2};
    for (const Vec3& point : {Vec3{0, 0, 0}, Vec3{1, 1, 1}, Vec3{9, -3, 4}}) {
        CHECK(distance(ball, point) == Approx(distance(sphere, point)).epsilon(1e-12));
    }
    CHECK(distance(sphere, {1, 1, 5}) == Approx(2).epsilon(1e-12));
    CHECK(distance(sphere, {1, 1, 1}) == Approx(-2).epsilon(1e-12));
}

TEST_CASE("distances to a plane: negative on the side its normal points away from", "[region]") {
    const plan::Plane plane{{0, 0, 3}, {0, 0, 5}};
    CHECK(distance(plane, {7, -2, 1}) == Approx(-2).epsilon(1e-12));
    CHECK(distance(plane, {7, -2, 4.5}) == Approx(1.5).epsilon(1e-12));
    CHECK(distance(plan::Plane{{1, 0, 0}, {1, 1, 0}}, {2, 1, 9}) ==
          Approx(std::sqrt(2.0)).epsilon(1e-12));
}

TEST_CASE("distances to a cone", "[region]") {
    const plan::Cone cone{
        {0, 0, 0}, {0, 0, 4}, {3, 0}};  // the slope is the edge of a 3-4-5 triangle
    CHECK(distance(cone, {0, 0, 6}) == Approx(2).epsilon(1e-12));
    CHECK(distance(cone, {0, 0, -1}) == Approx(1).epsilon(1e-12));
    CHECK(distance(cone, {3, 0, 4}) == Approx(2.4).epsilon(1e-12));  // 3·4/5
    CHECK(distance(cone, {0, 0, 1}) == Approx(-1).epsilon(1e-12));
    CHECK(distance(cone, {0, 0, 2}) == Approx(-1.2).epsilon(1e-12));  // 2·3/5
    const plan::Cone straight{{0, 0, -1}, {0, 0, 1}, {2, 2}};
    const plan::Cylinder cylinder{{0, 0, -1}, {0, 0, 1}, 2};
    for (const Vec3& point : {Vec3{0, 0, 0}, Vec3{5, 0, 0}, Vec3{3, 0, 3}, Vec3{1.9, 0, 0.2}}) {
        CHECK(distance(straight, point) == Approx(distance(cylinder, point)).epsilon(1e-12));
    }
}

TEST_CASE("distances change by no more than the way between two points", "[region]") {
    REQUIRE(rc::check("1-Lipschitz", [](std::uint64_t seed) {
        sheets::Random random(seed);
        for (int i = 0; i < 50; ++i) {
            const plan::Shape shape = random_shape(random);
            const Vec3 a = random_point(random);
            Vec3 b = random_point(random);
            if (random.chance(50)) b = {a[0] + 1e-3, a[1] - 2e-3, a[2]};
            const double change = std::abs(distance_to(shape, a) - distance_to(shape, b));
            RC_ASSERT(change <= apart(a, b) * (1 + 1e-12) + 1e-9);
        }
    }));
}

TEST_CASE("distances are those to the nearest point of the surface", "[region]") {
    REQUIRE(rc::check("box and cone against samples", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const plan::Shape shape =
            random.chance(50) ? region_test::random_box(random) : region_test::random_cone(random);
        const Vec3 point = random_point(random);
        constexpr int steps = 200;
        double nearest = 1e9, spacing = 0;
        region_test::for_each_surface_point(shape, steps, [&](const Vec3& at, double between) {
            nearest = std::min(nearest, apart(at, point));
            spacing = std::max(spacing, between);
        });
        const double found = std::abs(distance_to(shape, point));
        RC_ASSERT(found <= nearest + 1e-9);
        // The surface point that is truly nearest lies within one spacing of some sample.
        RC_ASSERT(nearest <= found + spacing + 1e-9);
        RC_ASSERT((distance_to(shape, point) < 0) == region_test::is_inside(shape, point));
    }));
}

}  // namespace durograde
