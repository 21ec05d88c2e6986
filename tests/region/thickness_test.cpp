#include "region/thickness.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numbers>

#include "region/thin_places.hpp"

/// The thinnest place of zones in stacks of layers whose walls are known.
namespace durograde {
namespace {

using region::BeadLog;
using region::Footprint;
using region::Thicknesses;

constexpr double width = 0.4, height = 0.2;

/// Fills what `inside` holds with lines along x, layer by layer.
class Bed {
  public:
    void print(int layers, const std::function<bool(double, double, double)>& inside) {
        for (int i = 0; i < layers; ++i) {
            const double z = (i + 1) * height;
            footprint.begin_layer(i > 0 ? height : 0.0);
            log.begin_layer(z);
            for (double y = 30 + width / 2; y < 70; y += width) row(y, z, inside);
        }
        log.finish();
        footprint.find_islands();
        if (const int island = footprint.island_at(50, 50); island >= 0)
            footprint.name_part(island, 0);
    }
    /// Of a part that does not cover its middle: it is found at this place.
    Thicknesses measure_at(const plan::Plan& plan, double x, double y) {
        footprint.name_part(footprint.island_at(50 + x, 50 + y), 0);
        return measure(plan);
    }

    Thicknesses measure(const plan::Plan& plan) const {
        return region::measure_thickness(plan, log, footprint, {{50, 50, 0}});
    }

    BeadLog log;
    Footprint footprint{{0, 100}, {0, 100}};

  private:
    void row(double y, double z, const std::function<bool(double, double, double)>& inside) {
        constexpr double step = 0.05;
        double from = -1;
        for (int i = 0; i <= 800; ++i) {
            const double x = 30 + i * step;
            const bool is_in = i < 800 && inside(x + step / 2 - 50, y - 50, z - height / 2);
            if (is_in && from < 0) from = x;
            if (!is_in && from >= 0) {
                line(from + width / 2, x - width / 2, y, z);
                from = -1;
            }
        }
    }
    void line(double x0, double x1, double y, double z) {
        if (x1 <= x0) x1 = x0 + 0.01;
        const double volume = (x1 - x0) * width * height;
        footprint.paint({x0, y, z}, {x1, y, z}, volume);
        log.add({x0, y, z}, {x1, y, z}, volume);
    }
};

/// Zones in this order, the last one everywhere else; each asks for a thickness.
plan::Plan zones(const std::vector<std::string>& wheres) {
    plan::Plan plan;
    for (const std::string& where : wheres) {
        plan::Zone zone;
        zone.where = std::get<grammar::Condition>(grammar::parse_condition(where));
        zone.tool = plan::Keep{};
        zone.thinnest_mm = 1.5;
        plan.zones.push_back(zone);
    }
    return plan;
}

}  // namespace

TEST_CASE("a wall's thickness is told wherever it stands", "[thickness]") {
    const double wall = GENERATE(0.8, 1.0, 1.2, 1.4);
    Bed bed;
    // A block with a wall on it, off its middle.
    bed.print(40, [&](double x, double y, double z) {
        return z < 3 ? std::abs(x) < 8 && std::abs(y) < 8
                     : std::abs(y) < 7 && x > 0.4 && x < 0.4 + wall;
    });
    const Thicknesses thin = bed.measure(zones({"true"}));
    REQUIRE(thin.zones[0].has_value());
    CAPTURE(thin.zones[0]->mm, wall, thin.zones[0]->at.x, thin.zones[0]->at.y, thin.zones[0]->at.z);
    CHECK(std::abs(thin.zones[0]->mm - wall) <= thin.cell_mm);
    CHECK(thin.zones[0]->at.z >= 3);
    CHECK(std::abs(thin.zones[0]->at.x - 50.4 - wall / 2) <= thin.cell_mm);
}

TEST_CASE("a skin of few layers is thin across them", "[thickness]") {
    Bed bed;
    bed.print(30, [](double x, double y, double) { return std::abs(x) < 6 && std::abs(y) < 6; });
    const Thicknesses thin = bed.measure(zones({"height > 5.1", "true"}));
    REQUIRE(thin.zones[0].has_value());
    CHECK(std::abs(thin.zones[0]->mm - 1.0) <= thin.cell_mm);  // five of thirty layers
    CHECK_FALSE(thin.zones[1].has_value());
}

TEST_CASE("a shell around a core is as thick as it is", "[thickness]") {
    Bed bed;
    bed.print(50, [](double x, double y, double z) { return std::hypot(x, y) < 7 && z < 10; });
    const Thicknesses thin = bed.measure(zones({"hypot(x, y) < 5.8", "true"}));
    REQUIRE(thin.zones[1].has_value());
    CAPTURE(thin.zones[1]->mm);
    CHECK(std::abs(thin.zones[1]->mm - 1.2) <= thin.cell_mm + 0.1);  // the circle is of lines
    CHECK_FALSE(thin.zones[0].has_value());
}

TEST_CASE("edges and corners are not thin", "[thickness]") {
    Bed bed;
    bed.print(40, [](double x, double y, double) { return std::abs(x) < 6 && std::abs(y) < 6; });
    CHECK_FALSE(bed.measure(zones({"true"})).zones[0].has_value());
}

TEST_CASE("a boundary that meets the outside at 45 degrees leaves no thin zone", "[thickness]") {
    Bed bed;
    bed.print(30, [](double x, double y, double) { return std::abs(x) < 12 && std::abs(y) < 6; });
    const Thicknesses thin = bed.measure(zones({"x + y < 0.05", "true"}));
    CHECK_FALSE(thin.zones[0].has_value());
    CHECK_FALSE(thin.zones[1].has_value());
}

TEST_CASE("a wall as thick as asked for is not thin", "[thickness]") {
    const double wall = GENERATE(1.6, 2.0, 3.0);
    Bed bed;
    bed.print(40, [&](double x, double y, double z) {
        return z < 3 ? std::abs(x) < 8 && std::abs(y) < 8
                     : std::abs(x) < 7 && y > 0.4 && y < 0.4 + wall;
    });
    CHECK_FALSE(bed.measure(zones({"true"})).zones[0].has_value());
}

TEST_CASE("curved and sloped walls of 0.8 to 1.5 mm are found", "[thickness]") {
    const double wall = GENERATE(0.8, 1.1, 1.4);
    CAPTURE(wall);
    Bed curved;  // a quarter of a ring, cut square
    curved.print(30, [&](double x, double y, double) {
        const double r = std::hypot(x, y);
        return r > 6 && r < 6 + wall && std::abs(y) < -1.2 * x;
    });
    const Thicknesses ring = curved.measure_at(zones({"true"}), -6 - wall / 2, 0);
    REQUIRE(ring.zones[0].has_value());
    CAPTURE(ring.zones[0]->mm);
    // Its ends are of single rows, thinner than itself.
    CHECK(ring.zones[0]->mm <= wall + ring.cell_mm);
    Bed sloped;  // leans by 30 degrees from upright
    const double lean = std::tan(std::numbers::pi / 6);
    sloped.print(40, [&](double x, double y, double z) {
        const double across = (x + 3 - z * lean) * std::cos(std::numbers::pi / 6);
        return std::abs(y) < 7 && across > 0 && across < wall;
    });
    const Thicknesses slope = sloped.measure_at(zones({"true"}), 0, 0);
    REQUIRE(slope.zones[0].has_value());
    CAPTURE(slope.zones[0]->mm);
    CHECK(std::abs(slope.zones[0]->mm - wall) <= slope.cell_mm + 0.25);  // of steps of 0.2 mm
}

TEST_CASE("sound designs have no thin place", "[thickness]") {
    const auto none = [](const Bed& bed, const plan::Plan& plan) {
        for (const auto& zone : bed.measure(plan).zones) {
            const region::Thinnest found = zone.value_or(region::Thinnest{});
            CAPTURE(found.mm, found.area_mm2, found.at.x, found.at.y, found.at.z);
            CHECK_FALSE(zone.has_value());
        }
    };
    Bed pad;  // 30 mm by 20 mm, 5.2 mm high
    pad.print(26, [](double x, double y, double) { return std::abs(x) < 15 && std::abs(y) < 10; });
    none(pad, zones({"height > 2.6", "true"}));
    none(pad, zones({"abs(x) < 6", "true"}));
    none(pad, zones({"hypot(x, y) < 5", "true"}));
    none(pad, zones({"x + y < 3", "true"}));
    none(pad, zones({"height > 3.5", "true"}));
    none(pad, zones({"height > 3.5 and abs(x) + abs(y) < 12", "true"}));
    none(pad, zones({"max(abs(x) - 13, abs(y) - 8, 3.4 - height) > 0", "true"}));
    // Wedges that lean to the outside by 60 degrees, and round edges.
    none(pad, zones({"y < 1.73 * x + 1", "true"}));
    none(pad, zones({"hypot(y, height - 5.2) < 3", "true"}));
    none(pad, zones({"hypot(x, y, height) < 8", "true"}));
    plan::Plan teeth = zones({"x < 0", "true"});
    teeth.split.interlock_mm = GENERATE(0.3, 0.6);
    for (int number = 0; number < 2; ++number) {
        plan::Tool tool;
        tool.number = number;
        tool.temperature_c = 190 + 40 * number;
        teeth.tools.push_back(tool);
        teeth.zones[static_cast<std::size_t>(number)].tool = plan::ToolNumber{number};
    }
    none(pad, teeth);
    Bed round;  // a pad with rounded corners, and one that is round
    round.print(26, [](double x, double y, double) {
        const double cx = std::max(0.0, std::abs(x) - 10), cy = std::max(0.0, std::abs(y) - 5);
        return std::hypot(cx, cy) < 3;
    });
    none(round, zones({"height > 2.6", "true"}));
    Bed disc;
    disc.print(30, [](double x, double y, double) { return std::hypot(x, y) < 9; });
    none(disc, zones({"hypot(x, y) < 5", "true"}));
    Bed dome;
    dome.print(40, [](double x, double y, double z) { return std::hypot(x, y, z) < 9; });
    none(dome, zones({"true"}));
}

TEST_CASE("what a ball of the asked thickness reaches is not thin, whatever its ridge",
          "[thickness]") {
    // Heights of 0.1 mm with a ridge 0.5 mm thin along y, 3 mm long, beside a body that is wide.
    const auto thinnest = [](double gap_mm) {
        const region::Grid grid{0, 0, 0.1, 60, 40};
        region::ThinPlaces places(grid, 1.5);
        for (int step = 0; step < 20; ++step) {
            std::vector<bool> wide(grid.size());
            std::vector<region::RidgeCell> ridge;
            for (std::uint32_t y = 5; y < 35; ++y) {
                wide[y * 60 + 50] = true;
                const auto away = static_cast<std::uint32_t>(std::lround(gap_mm / 0.1));
                ridge.push_back({y * 60 + 50 - away, 0.5});
            }
            places.add(0.1 * (step + 1), wide, ridge);
        }
        return places.thinnest();
    };
    CHECK_FALSE(thinnest(0.7).has_value());  // within 0.75 mm of the middle of a ball
    REQUIRE(thinnest(1.2).has_value());
    CHECK(thinnest(1.2)->mm == Approx(0.5));
    CHECK(thinnest(1.2)->area_mm2 == Approx(3.0 * 2.0).epsilon(0.1));
}

TEST_CASE("more thin places than are kept end at a height, and no ball is missed", "[thickness]") {
    // A wall 0.5 mm thin in each of 200 by 200 cells: 40,000 ridge cells a height.
    const region::Grid grid{0, 0, 0.1, 200, 200};
    region::ThinPlaces places(grid, 1.5);
    std::vector<region::RidgeCell> ridge;
    for (std::uint32_t cell = 0; cell < 40'000; ++cell) ridge.push_back({cell, 0.5});
    for (int step = 1; step <= 30; ++step) {
        // Above what is kept it is thinner: that is not told.
        if (step == 28)
            for (region::RidgeCell& cell : ridge) cell.thick_mm = 0.3;
        places.add(0.1 * step, std::vector<bool>(grid.size()), ridge);
    }
    const auto found = places.thinnest();
    REQUIRE(found.has_value());
    CHECK(found->mm == Approx(0.5));
    // 25 heights hold a million.
    CHECK(found->at.z <= 2.5 + 1e-9);
    // A wide cell in the far corner of a block, just within the ball's reach, and just beyond it.
    for (const auto& [column, is_thin] : {std::pair{27U, false}, std::pair{30U, true}}) {
        CAPTURE(column);
        region::ThinPlaces near(grid, 1.5);
        std::vector<bool> wide(grid.size());
        for (std::uint32_t row = 0; row < 200; ++row) wide[row * 200 + column] = true;
        std::vector<region::RidgeCell> line;
        for (std::uint32_t row = 60; row < 90; ++row) line.push_back({row * 200 + 19, 0.5});
        for (int step = 1; step <= 20; ++step) near.add(0.1 * step, wide, line);
        CHECK(near.thinnest().has_value() == is_thin);
    }
}

}  // namespace durograde
