#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <random>

#include "grade/filament_wear.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// Where strings come from: travel over open air, by the bead that it leaves.
namespace durograde {
namespace {

using grade::OpenAirFigures;

// Two bars, 30 mm apart, each firm on its left and soft on its right; the second is retracted to.
constexpr const char* bars =
    "G21\nG90\nM83\nM104 S200\nG28\nT0\nM109 S200\nG1 Z0.2 F720\nG1 X40 Y50 F9000\n"
    "G1 X60 Y50 E1 F600\nG1 E-1 F1800\nG1 X90 Y50 F9000\nG1 E1 F1800\n"
    "G1 X110 Y50 E1 F600\nG1 X110 Y60 F9000\n";

std::string halves() {
    return support::two_tools_text(
        "retract = { length = 1.0 }\n", "",
        std::string(support::halves_text) +
            "[sheet]\nplace = [{ x = 50, y = 50 }, { x = 100, y = 50 }]\n");
}

OpenAirFigures sum(const auto& list) {
    OpenAirFigures all;
    for (const auto& [key, figures] : list) all += figures;
    return all;
}

void check_alike(const OpenAirFigures& a, const OpenAirFigures& b) {
    CHECK(a.before_mm == Approx(b.before_mm));
    CHECK(a.after_mm == Approx(b.after_mm));
    CHECK(a.bare_mm == Approx(b.bare_mm));
}

}  // namespace

TEST_CASE("open air is told by zone, part and temperature of the bead that is left", "[grade]") {
    grade::Figures figures;
    support::graded(plan::load_text(halves(), "halves.toml"), bars, figures);
    const grade::OpenAirAccount& air = figures.open_air;
    // Half a bead of 0.4 mm and a cell of 0.2 mm at either end.
    constexpr double slack_mm = 1.2;
    CHECK(air.all.before_mm == Approx(30.0).margin(slack_mm));
    CHECK(air.zones.at(1).before_mm == air.all.before_mm);
    CHECK(air.parts.at(0).before_mm == Approx(30.0).margin(slack_mm));
    CHECK(air.temperatures.at(200).before_mm == air.all.before_mm);
    // Firm: 40 mm to the second bar. Soft: from there back to the first, and on to the second.
    CHECK(air.zones.at(0).after_mm == Approx(40.0 - 10.0).margin(2 * slack_mm));
    CHECK(air.temperatures.at(190).after_mm == air.zones.at(0).after_mm);
    CHECK(air.temperatures.at(230).after_mm == air.zones.at(1).after_mm);
    CHECK(figures.retractions_before == 1);
}

TEST_CASE("zones, parts and temperatures each add up to all open air", "[grade]") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const sheets::Style style = sheets::style_from_seed(seed);
        const plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
        grade::Figures figures;
        support::graded(plan, sheets::make_sheet(style), figures);
        INFO("seed " << seed);
        check_alike(sum(figures.open_air.zones), figures.open_air.all);
        check_alike(sum(figures.open_air.parts), figures.open_air.all);
        check_alike(sum(figures.open_air.temperatures), figures.open_air.all);
    }
}

TEST_CASE("a stretch of filament counts the retractions that run over it", "[grade]") {
    std::mt19937 random(5);
    std::uniform_int_distribution<long> step(0, 15), length(1, 40);
    for (int round = 0; round < 200; ++round) {
        grade::FilamentWear wear;
        std::map<long, long> passes;  // by tenths of a millimetre
        long fed = 0, most = 0;
        for (int i = 0; i < 60; ++i) {
            fed += step(random);
            const long back = length(random);
            // In one move, or in two.
            const double fed_mm = static_cast<double>(fed) * 0.1;
            const double back_mm = static_cast<double>(back) * 0.1;
            const double half_mm = static_cast<double>(back / 2) * 0.1;
            if (back > 1) wear.draw(fed_mm, 0.0, half_mm);
            wear.draw(fed_mm, back > 1 ? half_mm : 0.0, back_mm);
            for (long at = fed - back; at < fed; ++at) most = std::max(most, ++passes[at]);
        }
        REQUIRE(wear.most_of_a_stretch() == most);
        REQUIRE(wear.retractions() == 60);
    }
}

// Bars of 3 mm with 5 mm between them, hardly any filament in each.
TEST_CASE("what is drawn back more often than allowed is warned of", "[grade]") {
    std::string many = "G21\nG90\nM83\nM104 S190\nG28\nT0\nM109 S190\nG1 Z0.2 F720\n";
    for (int bar = 0; bar < 15; ++bar) {
        many += "G1 X" + std::to_string(40 + 8 * bar) + " Y50 F9000\n";
        many += "G1 X" + std::to_string(43 + 8 * bar) + " Y50 E0.05 F600\n";
    }
    const auto warns = [&](const std::string& repeats) {
        std::string text = halves();
        text.replace(text.find("length = 1.0"), 12, "length = 1.0, repeats = " + repeats);
        text.replace(text.find("x <= 0"), 6, "true");
        text.replace(text.find("x = 50"), 6, "x = 41");
        text.replace(text.find(", { x = 100, y = 50 }"), 21, "");
        text += "outside = 0\n[strings]\ngap = 2.0\n";
        grade::Figures figures;
        support::graded(plan::load_text(text, "halves.toml"), many, figures);
        CHECK(figures.tools[0].retractions == 15);
        CHECK(figures.tools[0].most_of_a_stretch == 15);
        return std::any_of(
            figures.warnings.begin(), figures.warnings.end(),
            [](const Diagnostic& warning) { return warning.code == "ground-filament"; });
    };
    CHECK(warns("14"));
    CHECK_FALSE(warns("15"));
}

}  // namespace durograde
