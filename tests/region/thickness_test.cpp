#include "region/thickness.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numbers>

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
        footprint.name_part(footprint.island_at(50, 50), 0);
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
    const double wall = GENERATE(0.8, 1.2, 1.6, 2.0);
    Bed bed;
    // A block with a wall on it, off its middle.
    bed.print(40, [&](double x, double y, double z) {
        return z < 3 ? std::abs(x) < 8 && std::abs(y) < 8
                     : std::abs(x) < 7 && y > 0.4 && y < 0.4 + wall;
    });
    const Thicknesses thin = bed.measure(zones({"true"}));
    REQUIRE(thin.zones[0].has_value());
    CAPTURE(thin.zones[0]->mm, wall, thin.zones[0]->at.x, thin.zones[0]->at.y, thin.zones[0]->at.z);
    CHECK(std::abs(thin.zones[0]->mm - wall) <= thin.cell_mm);
    CHECK(thin.zones[0]->at.z >= 3);
    CHECK(std::abs(thin.zones[0]->at.y - 50.4 - wall / 2) <= thin.cell_mm);
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

}  // namespace durograde
