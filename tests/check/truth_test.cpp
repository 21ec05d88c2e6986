#include "check/truth.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "../region/random_fields.hpp"
#include "check/solids.hpp"
#include "mesh/triangles.hpp"
#include "random.hpp"
#include "region/fields.hpp"
#include "region/zones.hpp"

/// The proof's own reading of conditions and shapes beside the one by which beads are cut: two
/// ways to one answer, which share no formula.
namespace durograde {
namespace {

using check::off_surface_mm;
using check::Truth;
using plan::Vec3;
using region::Spot;
using region_test::random_point;

Spot spot_at(const Vec3& point) {
    Spot spot;
    spot.point = point;
    spot.height_mm = point[2];
    return spot;
}

/// A ball of flat faces, `rings` from pole to pole.
plan::Shape faceted_ball(const Vec3& center, double radius, int rings) {
    std::vector<mesh::Point> soup;
    const auto corner = [&](int ring, int side) {
        const double down = std::numbers::pi * ring / rings;
        const double around = std::numbers::pi * side / rings;
        const double away = ring == rings ? 0.0 : radius * std::sin(down);
        return mesh::Point{center[0] + away * std::cos(around), center[1] + away * std::sin(around),
                           center[2] + radius * std::cos(down)};
    };
    for (int ring = 0; ring < rings; ++ring) {
        for (int side = 0; side < 2 * rings; ++side) {
            for (const auto& [r, s] : {std::pair{0, 0}, {1, 0}, {1, 1}, {0, 0}, {1, 1}, {0, 1}})
                soup.push_back(corner(ring + r, side + s));
        }
    }
    plan::Mesh mesh;
    mesh.triangles = std::make_shared<const mesh::Triangles>(mesh::weld(soup));
    return {"ball", mesh};
}

}  // namespace

TEST_CASE("closest points lie as far as the fields say", "[check][truth]") {
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        CAPTURE(seed);
        sheets::Random random(seed);
        const plan::Shape shape = region_test::random_shape(random);
        const region::Field field(shape);
        for (int i = 0; i < 40; ++i) {
            const Vec3 at = random_point(random);
            CAPTURE(at[0], at[1], at[2]);
            CHECK(off_surface_mm(shape, at) == Approx(field.exact_mm(at)).margin(1e-9));
        }
    }
}

TEST_CASE("rays and triangles tell what lies inside a mesh", "[check][truth]") {
    const plan::Shape ball = faceted_ball({1, -2, 3}, 6, 12);
    CHECK(check::triangles_of(ball) == 2 * 12 * 24 - 2 * 24);
    const region::Field field(ball);
    sheets::Random random(5);
    int inside = 0;
    for (int i = 0; i < 2000; ++i) {
        const Vec3 at = random_point(random);
        const double mm = off_surface_mm(ball, at);
        CAPTURE(at[0], at[1], at[2]);
        CHECK(mm == Approx(field.exact_mm(at)).margin(1e-9));
        // A ball of 6 mm whose faces lie less than 0.11 mm within it.
        const double to_ball = std::hypot(at[0] - 1, at[1] + 2, at[2] - 3) - 6;
        CHECK(mm >= to_ball - 1e-9);
        CHECK(mm <= to_ball + 0.11);
        inside += mm < 0 ? 1 : 0;
    }
    CHECK(inside > 50);
}

TEST_CASE("conditions hold where their margins say", "[check][truth]") {
    int asked = 0, many = 0;
    for (std::uint64_t seed = 0; seed < 400; ++seed) {
        sheets::Random random(seed);
        const plan::Plan plan =
            region_test::plan_of(region_test::some_shapes(random),
                                 {region_test::random_truth(random, random.between(0, 3)),
                                  region_test::random_truth(random, random.between(0, 3))});
        CAPTURE(seed, plan.zones[0].where_text, plan.zones[1].where_text);
        Truth truth(plan);
        const region::ZoneField field(plan);
        for (int i = 0; i < 40; ++i) {
            const Spot spot = spot_at(random_point(random));
            const region::ZoneField::Probe probe = field.at(spot);
            // Next to a boundary the two may round otherwise.
            if (probe.free_mm <= 1e-6) continue;
            CAPTURE(spot.point[0], spot.point[1], spot.point[2]);
            const std::optional<int> zone = truth.zone_at(spot);
            REQUIRE(zone);
            CHECK(*zone == probe.zone);
            ++asked;
            many += probe.zone == 1 ? 1 : 0;
        }
    }
    CHECK(asked > 12'000);
    CHECK(many > 2'000);
}

TEST_CASE("comparisons are what they read as", "[check][truth]") {
    struct Case {
        const char* where;
        bool holds;
    };
    // At x = 2, y = -3, z = 0.5, worked by hand.
    for (const Case& c : {Case{"x < 2", false},
                          {"x <= 2", true},
                          {"x > 2", false},
                          {"x >= 2", true},
                          {"not (x < 2)", true},
                          {"y < 0 and z > 1", false},
                          {"y < 0 or z > 1", true},
                          {"hypot(x, y) < 3.61 and hypot(x, y) > 3.6", true},
                          {"min(x, y) < -2.9", true},
                          {"max(x, y) < -2.9", false},
                          {"clamp(y, -1, 1) >= -1", true},
                          {"clamp(x, -1, 1) > 1", false},
                          {"sqrt(x + 2) <= 2", true},
                          {"-y * 2 > 5.9", true}}) {
        CAPTURE(c.where);
        const plan::Plan plan = region_test::plan_of({}, {c.where});
        CHECK(Truth(plan).zone_at(spot_at({2, -3, 0.5})) == (c.holds ? 0 : Truth::no_zone));
    }
}

TEST_CASE("where a condition compares what is no number, nothing is said", "[check][truth]") {
    const plan::Plan plan = region_test::plan_of({}, {"x / y < 1", "true"});
    Truth truth(plan);
    CHECK_FALSE(truth.zone_at(spot_at({0, 0, 0})));
    CHECK(truth.zone_at(spot_at({1, 2, 0})) == 0);
    CHECK(truth.zone_at(spot_at({1, 0, 0})) == 1);  // infinitely large
}

}  // namespace durograde
