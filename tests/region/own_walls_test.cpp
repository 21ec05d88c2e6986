#include "region/own_walls.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "random.hpp"
#include "region/footprint.hpp"

/// Brim and walls that lean, wherever the grid lies below them.
namespace durograde {
namespace {

using region::Footprint;

/// A cone or a pyramid of a few walls that gets narrower by the lean, with a brim.
struct Cone {
    double x = 50, y = 50, radius_mm = 10, turn = 0;
    int corners = 4, layers = 5, brim_loops = 3;
    double lean_mm = 0.2;  ///< by which each layer lies within the one below
    double bead_mm = 0.45, layer_mm = 0.2;

    [[nodiscard]] double radius(int layer, int loop) const {
        return radius_mm - layer * lean_mm + loop * bead_mm;
    }
};

/// Loops are told by the distance of their sides from the middle; loop 0 is the outer wall.
void paint_loop(const Cone& cone, int layer, int loop, Footprint& footprint) {
    const double radius = cone.radius(layer, loop) / std::cos(std::numbers::pi / cone.corners);
    const auto corner = [&](int i) {
        const double at = cone.turn + 2 * std::numbers::pi * (i % cone.corners) / cone.corners;
        return geometry::Point{cone.x + radius * std::cos(at), cone.y + radius * std::sin(at), 0};
    };
    for (int i = 0; i < cone.corners; ++i) {
        const double length = geometry::distance_xy(corner(i), corner(i + 1));
        footprint.paint(corner(i), corner(i + 1), length * cone.bead_mm * cone.layer_mm);
    }
}

void paint(const Cone& cone, Footprint& footprint) {
    for (int layer = 0; layer < cone.layers; ++layer) {
        footprint.begin_layer(layer == 0 ? 0.0 : cone.layer_mm);
        for (int loop = layer == 0 ? cone.brim_loops : 0; loop > -4; --loop)
            paint_loop(cone, layer, loop, footprint);
    }
}

/// Loops of the first layer that are of the part, looked up at the middles of their first sides.
int own_loops(const Cone& cone, const Footprint& footprint) {
    const double side = cone.turn + std::numbers::pi / cone.corners;
    int own = 0;
    for (int loop = -3; loop <= cone.brim_loops; ++loop) {
        const double radius = cone.radius(0, loop);
        const int part =
            footprint.part_at(cone.x + radius * std::cos(side), cone.y + radius * std::sin(side));
        own += part == 0 ? 1 : 0;
    }
    return own;
}

int own_loops(const Cone& cone) {
    Footprint footprint({0, 100}, {0, 100});
    paint(cone, footprint);
    footprint.find_islands();
    REQUIRE(footprint.islands().size() == 1);
    footprint.name_part(0, 0);
    return own_loops(cone, footprint);
}

}  // namespace

TEST_CASE("walls that lean are the part's own, whatever brim lies around them", "[region]") {
    for (std::uint64_t seed = 0; seed < 400; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        Cone cone;
        cone.x = 50 + random.stepped(0, 1000, 0.001);
        cone.y = 50 + random.stepped(0, 1000, 0.001);
        cone.turn = random.chance(50) ? std::numbers::pi / 4 : random.stepped(0, 628, 0.01);
        cone.corners = random.chance(50) ? 4 : 40;
        cone.bead_mm = random.stepped(40, 80, 0.01);
        cone.layer_mm = random.stepped(15, 30, 0.01);
        // Up to 70 degrees from upright, and up to a bead and a half a layer.
        cone.lean_mm =
            std::min(cone.layer_mm * std::tan(random.between(0, 70) * std::numbers::pi / 180),
                     1.2 * cone.bead_mm);
        cone.brim_loops = random.between(0, 5);
        CAPTURE(cone.lean_mm, cone.bead_mm, cone.brim_loops, cone.corners);
        CHECK(own_loops(cone) == 4);
    }
}

TEST_CASE("of a foot of two layers the brim is told too", "[region]") {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        Footprint footprint({0, 100}, {0, 100});
        Cone foot;
        foot.x = 50 + random.stepped(0, 1000, 0.001);
        foot.y = 50 + random.stepped(0, 1000, 0.001);
        foot.turn = std::numbers::pi / 4;
        foot.lean_mm = 0;
        foot.layers = 2;
        Cone body = foot;
        body.radius_mm -= random.stepped(5, 40, 0.1);
        paint(foot, footprint);
        for (int layer = 0; layer < 3; ++layer) {
            footprint.begin_layer(foot.layer_mm);
            for (int loop = 0; loop > -4; --loop) paint_loop(body, 0, loop, footprint);
        }
        footprint.find_islands();
        footprint.name_part(footprint.island_of_bead(foot.x, foot.y + foot.radius(0, 0)), 0);
        CHECK(own_loops(foot, footprint) == 4);
    }
}

}  // namespace durograde
