#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "grading.hpp"
#include "plan/load.hpp"
#include "replay.hpp"

/// Zones around a cylinder against the textbook: a shell between radii a and b of height h has the
/// volume π·(b² − a²)·h (any table of solids).
namespace durograde {
namespace {

constexpr double spacing_mm = 0.2, side_mm = 24.0, layer_mm = 0.2;
constexpr int layers = 5;
constexpr double filament_area_mm2 = std::numbers::pi / 4 * 1.75 * 1.75;

/// A square block filled by straight beads as wide as their spacing: its beads' volume is its own.
std::string block() {
    std::string text = "G21\nG90\nM83\nM104 S200\nG28\nG1 Z5 F600\n";
    for (int layer = 0; layer < layers; ++layer) {
        text += fmt::format("G1 X88 Y88 F9000\nG1 Z{:.3f} F600\n", layer_mm * (layer + 1));
        const int rows = static_cast<int>(side_mm / spacing_mm);
        for (int row = 0; row < rows; ++row) {
            const double y = 88 + (row + 0.5) * spacing_mm;
            const bool right = row % 2 == 0;
            const double e = side_mm * spacing_mm * layer_mm / filament_area_mm2;
            text += fmt::format("G1 X{:.3f} Y{:.3f} F9000\n", right ? 88.0 : 88 + side_mm, y);
            text += fmt::format("G1 X{:.3f} Y{:.3f} E{:.6f} F1800\n", right ? 88 + side_mm : 88.0,
                                y, e);
        }
    }
    return text + "M104 S0\n";
}

plan::Plan shells(double a, double b) {
    std::string text =
        "format = 1\n[machine]\nreach = { x = [0, 200], y = [0, 200], z = [0, 200] }\nhottest = "
        "290\n";
    for (int tool = 0; tool < 3; ++tool) {
        text += fmt::format(
            "[[tool]]\nnumber = {}\ntemperature = {}\nheater = {{ rise = 4, loss = 0.01, ambient = "
            "25 }}\n",
            tool, 190 + 20 * tool);
    }
    text += fmt::format(
        "[[shape]]\nname = \"core\"\ncylinder = {{ from = [0, 0, -50], to = [0, 0, 50], radius = "
        "{} }}\n"
        "[[zone]]\nname = \"core\"\nwhere = \"distance(core) <= 0\"\ntool = 0\n"
        "[[zone]]\nname = \"shell\"\nwhere = \"distance(core) <= {}\"\ntool = 1\n"
        "[[zone]]\nname = \"rest\"\nwhere = \"true\"\ntool = 2\n"
        "[sheet]\nplace = [{{ x = 100, y = 100 }}]\n[split]\nshortest = 0.05\n",
        a, b - a);
    return plan::load_text(text, "shells.toml");
}

}  // namespace

TEST_CASE("zones of a cylinder have the volumes of the shell formula") {
    const double height = layers * layer_mm;
    for (const auto& [a, b] : {std::pair{3.0, 6.0}, std::pair{5.0, 9.0}, std::pair{2.5, 11.0}}) {
        CAPTURE(a, b);
        grade::Figures figures;
        const std::string output = support::graded(shells(a, b), block(), figures);
        const double core = std::numbers::pi * a * a * height;
        const double shell = std::numbers::pi * (b * b - a * a) * height;
        const double rest = side_mm * side_mm * height - core - shell;
        // Rows stand for strips as wide as their spacing: the midpoint rule is good to (spacing /
        // a)^1.5.
        const double rule = std::pow(spacing_mm / a, 1.5);
        CHECK(figures.zones[0].volume_mm3 == Approx(core).epsilon(rule));
        CHECK(figures.zones[1].volume_mm3 == Approx(shell).epsilon(rule));
        CHECK(figures.zones[2].volume_mm3 == Approx(rest).epsilon(rule));

        double printed[3] = {};
        for (const support::Bead& bead : support::replay(output).beads) {
            printed[bead.tool] += bead.e_mm * filament_area_mm2;
        }
        for (int tool = 0; tool < 3; ++tool) {
            CHECK(printed[tool] ==
                  Approx(figures.zones[static_cast<std::size_t>(tool)].volume_mm3).epsilon(2e-3));
        }
    }
}

}  // namespace durograde
