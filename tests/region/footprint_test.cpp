#include "region/footprint.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "random.hpp"

/// Islands of beads on a bed of 100 mm, as pads and what is printed around them make.
namespace durograde {
namespace {

using region::Footprint;

constexpr double height = 0.2;

/// Paints as a program would: loops and fillings of squares, layer by layer.
class Bed {
  public:
    explicit Bed(double bead_width = 0.45) : footprint({0, 100}, {0, 100}), width(bead_width) {}

    void layer(double above = height) { footprint.begin_layer(above); }

    void line(double x0, double y0, double x1, double y1) {
        const double length = std::hypot(x1 - x0, y1 - y0);
        footprint.paint({x0, y0, 0}, {x1, y1, 0}, length * width * height);
    }
    /// The centre line of a loop around (x, y), `half` from its middle.
    void loop(double x, double y, double half) {
        line(x - half, y - half, x + half, y - half);
        line(x + half, y - half, x + half, y + half);
        line(x + half, y + half, x - half, y + half);
        line(x - half, y + half, x - half, y - half);
    }
    void filled(double x, double y, double half) {
        loop(x, y, half);
        for (double at = y - half + width; at < y + half; at += width) {
            line(x - half + width, at, x + half - width, at);
        }
    }
    /// `act` in each of `count` layers, the first one on the bed.
    template <typename Act>
    void layers(int count, Act act) {
        for (int i = 0; i < count; ++i) {
            layer(i == 0 ? 0.0 : height);
            act(i);
        }
        footprint.find_islands();
    }

    /// A loop of straight sides around (x, y), its corners at `radius`, turned by `turn` radians.
    void ring(double x, double y, double radius, int corners, double turn) {
        for (int i = 0; i < corners; ++i) {
            const double a = turn + 2 * std::numbers::pi * i / corners;
            const double b = turn + 2 * std::numbers::pi * (i + 1) / corners;
            line(x + radius * std::cos(a), y + radius * std::sin(a), x + radius * std::cos(b),
                 y + radius * std::sin(b));
        }
    }

    Footprint footprint;
    double width;
};

}  // namespace

TEST_CASE("pads apart are islands of their own", "[region]") {
    Bed bed;
    bed.layers(3, [&](int) {
        bed.filled(20, 20, 5);
        bed.filled(40, 20, 5);
    });
    REQUIRE(bed.footprint.islands().size() == 2);
    const region::Island& first = bed.footprint.islands()[0];
    // Half a bead and the grid's two cells of 0.2 mm may lie beyond the centre lines.
    CHECK(first.min_x == Approx(15).margin(0.6));
    CHECK(first.max_x == Approx(25).margin(0.6));
    CHECK(first.min_y == Approx(15).margin(0.6));
    CHECK(first.max_y == Approx(25).margin(0.6));
    CHECK(first.area_mm2 == Approx(100).margin(40 * 0.6));
    CHECK(bed.footprint.island_at(20, 20) != bed.footprint.island_at(40, 20));
    CHECK(bed.footprint.island_at(30, 20) == -1);
    CHECK(bed.footprint.bead_width_mm() == Approx(bed.width).epsilon(1e-9));
}

TEST_CASE("a part has the number that it is given", "[region]") {
    Bed bed;
    bed.layers(2, [&](int) {
        bed.filled(20, 20, 5);
        bed.filled(40, 20, 5);
    });
    CHECK(bed.footprint.part_at(20, 20) == region::outside);
    REQUIRE(bed.footprint.island_at(40, 20) >= 0);
    REQUIRE(bed.footprint.island_at(20, 20) >= 0);
    bed.footprint.name_part(bed.footprint.island_at(40, 20), 0);
    bed.footprint.name_part(bed.footprint.island_at(20, 20), 7);
    CHECK(bed.footprint.part_at(40, 20) == 0);
    CHECK(bed.footprint.part_at(20, 20) == 7);
    CHECK(bed.footprint.part_at(24.99, 20) == 7);
    CHECK(bed.footprint.part_at(30, 20) == region::outside);
    CHECK(bed.footprint.part_at(-50, 500) == region::outside);
}

TEST_CASE("parts that touch are one island", "[region]") {
    Bed bed;
    bed.layers(2, [&](int) {
        bed.filled(20, 20, 5);
        bed.filled(30 + bed.width, 20, 5);  // bead beside bead
        bed.filled(60, 20, 5);
        bed.filled(70 + 3.2 * bed.width, 20, 5);  // two beads' room between
    });
    CHECK(bed.footprint.islands().size() == 3);
    CHECK(bed.footprint.island_at(20, 20) == bed.footprint.island_at(30, 20));
    CHECK(bed.footprint.island_at(60, 20) != bed.footprint.island_at(72, 20));
}

TEST_CASE("a skirt is no island", "[region]") {
    Bed bed;
    bed.layers(3, [&](int layer) {
        if (layer == 0) bed.loop(20, 20, 12);
        bed.filled(20, 20, 5);
    });
    REQUIRE(bed.footprint.islands().size() == 1);
    CHECK(bed.footprint.island_at(32, 20) == -1);
    CHECK(bed.footprint.island_at(20, 20) == 0);
}

namespace {

/// How many loops of parts and of their brims are taken for the other, over `trials` places and
/// turns.
int mistaken_loops(double width, int trials) {
    int mistaken = 0;
    for (int trial = 0; trial < trials;
         ++trial) {  // wherever the grid lies, however the sides lie in it
        Bed bed(width);
        const double x = 40 + trial * 0.017, y = 40 + trial * 0.031, turn = trial * 0.065;
        const int corners = trial % 2 == 0 ? 4 : 24;
        // Loops a bead's width apart, measured at the middle of a side.
        const double out = 1 / std::cos(std::numbers::pi / corners);
        bed.layers(3, [&](int layer) {
            for (int i = layer == 0 ? 6 : 0; i > -4; --i) {
                bed.ring(x, y, (8 + i * width) * out, corners, turn);
            }
        });
        REQUIRE(bed.footprint.islands().size() == 1);
        bed.footprint.name_part(0, 0);
        const double side = turn + std::numbers::pi / corners;
        for (int i = -3; i <= 6; ++i) {
            const double radius = 8 + i * width;
            const int part =
                bed.footprint.part_at(x + radius * std::cos(side), y + radius * std::sin(side));
            if (part != (i > 0 ? region::outside : 0)) ++mistaken;
        }
    }
    return mistaken;
}

}  // namespace

TEST_CASE("a brim's loops belong to no part, the part's own wall does", "[region]") {
    for (const double width : {0.45, 0.6, 0.8}) {
        CAPTURE(width);
        CHECK(mistaken_loops(width, 24) == 0);
    }
}

// Loops nearer to each other than two cells of the grid.
TEST_CASE("a brim of narrow beads belongs to no part either", "[region]") {
    CHECK(mistaken_loops(0.4, 120) == 0);
    CHECK(mistaken_loops(0.35, 120) == 0);
    CHECK(mistaken_loops(0.3, 120) == 0);
}

TEST_CASE("a purge line is no island", "[region]") {
    Bed bed;
    bed.layers(3, [&](int layer) {
        if (layer == 0) bed.line(5, 5, 95, 5);
        bed.filled(50, 50, 5);
    });
    CHECK(bed.footprint.islands().size() == 1);
    CHECK(bed.footprint.island_at(50, 5) == -1);
}

TEST_CASE("a hole belongs to the island around it", "[region]") {
    Bed bed;
    bed.layers(3, [&](int layer) {
        bed.loop(30, 30, 10);
        bed.loop(30, 30, 10 - bed.width);
        if (layer == 0) bed.loop(30, 30, 4);  // a rib that the first layer alone has
    });
    REQUIRE(bed.footprint.islands().size() == 1);
    bed.footprint.name_part(0, 5);
    CHECK(bed.footprint.part_at(30, 30) == 5);
    CHECK(bed.footprint.part_at(34, 30) == 5);
    CHECK(bed.footprint.part_at(30, 42) == region::outside);
}

TEST_CASE("an island within another's hole is its own, the space between no one's", "[region]") {
    Bed bed;
    bed.layers(3, [&](int) {
        bed.loop(30, 30, 15);
        bed.filled(30, 30, 4);
    });
    REQUIRE(bed.footprint.islands().size() == 2);
    const int ring = bed.footprint.island_at(45, 30), pad = bed.footprint.island_at(30, 30);
    CHECK(ring != pad);
    CHECK(bed.footprint.island_at(38, 30) == -1);
}

TEST_CASE("of a program with one layer everything is an island", "[region]") {
    Bed bed;
    bed.layers(1, [&](int) {
        bed.filled(20, 20, 5);
        bed.line(60, 60, 80, 60);
    });
    CHECK(bed.footprint.islands().size() == 2);
    CHECK(bed.footprint.island_at(70, 60) >= 0);
}

TEST_CASE("parts one after another are islands of their own", "[region]") {
    Bed bed;
    for (const double x : {20.0, 60.0}) {
        for (int layer = 0; layer < 3; ++layer) {
            bed.layer(layer == 0 ? 0.0 : height);
            bed.filled(x, 20, 5);
        }
    }
    bed.footprint.find_islands();
    CHECK(bed.footprint.islands().size() == 2);
}

TEST_CASE("an empty bed has no islands", "[region]") {
    Bed bed;
    bed.footprint.find_islands();
    CHECK(bed.footprint.islands().empty());
    CHECK(bed.footprint.island_at(50, 50) == -1);
    CHECK(bed.footprint.bead_width_mm() > 0);
}

TEST_CASE("every bead's middle is on its island, wherever it lies", "[region]") {
    REQUIRE(rc::check("a bead is looked up by its middle", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Bed bed;
        const auto any = [&] { return random.between(10'000, 90'000) * 1e-3; };
        const double x0 = any(), y0 = any();
        const double x1 = random.chance(30) ? x0 + random.between(1, 50) * 0.01 : any();
        const double y1 = random.chance(30) ? y0 : any();
        bed.layers(2, [&](int) { bed.line(x0, y0, x1, y1); });
        RC_ASSERT(bed.footprint.islands().size() == std::size_t{1});
        RC_ASSERT(bed.footprint.island_at((x0 + x1) / 2, (y0 + y1) / 2) == 0);
    }));
}

}  // namespace durograde
