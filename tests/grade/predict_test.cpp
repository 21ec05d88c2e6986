#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "grade/cost.hpp"
#include "grade/elasticity.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "sample_plan.hpp"

using namespace durograde;
using plan_test::fault;
using plan_test::replaced;

namespace {

constexpr double area_mm2 = 2.405281875;  // of filament of 1.75 mm

/// A block of 20 by 12 by 2 mm around x 60, y 50, of lines along x, every `pitch_mm`, each 0.4 mm
/// wide and 0.2 mm high, between two lines along y that close its ends where it is sparse.
std::string block(double pitch_mm, double turn_deg = 0) {
    std::string text = "M104 S200\nG28\nT0\nG21\nG90\nM83\nG1 X5 Y5 Z5 F6000\n";
    const double turn = turn_deg * 3.14159265358979323846 / 180;
    const auto place = [&](double x, double y) {
        return fmt::format("X{:.4f} Y{:.4f}", 60 + x * std::cos(turn) - y * std::sin(turn),
                           50 + x * std::sin(turn) + y * std::cos(turn));
    };
    const auto line = [&](double x0, double y0, double x1, double y1) {
        const double mm3 = std::hypot(x1 - x0, y1 - y0) * 0.4 * 0.2;
        text += "G1 " + place(x0, y0) + " F9000\n";
        text += "G1 " + place(x1, y1) + fmt::format(" E{:.6f} F1200\n", mm3 / area_mm2);
    };
    for (int layer = 1; layer <= 10; ++layer) {
        text += fmt::format("G1 Z{:.1f} F600\n", 0.2 * layer);
        if (pitch_mm > 0.4) {
            line(-9.8, -5.8, -9.8, 5.8);
            line(9.8, -5.8, 9.8, 5.8);
        }
        for (double y = -5.8; y < 5.9; y += pitch_mm) line(-10, y, 10, y);
    }
    return text + "M104 S0\n";
}

std::string plan_text(const std::string& zones, double turn_deg = 0) {
    return "format = 1\n[machine]\nreach = { x = [0, 200], y = [0, 200], z = [0, 200] }\n"
           "hottest = 280\n[[tool]]\nnumber = 0\ntemperature = 190\n"
           "[[tool]]\nnumber = 1\ntemperature = 230\n"
           "[material]\nprice = 70\n"
           "[[material.point]]\ntemperature = 190\nflow = 1.0\ndensity = 1.2\nhardness = 90\n"
           "spread = { hardness = 1 }\n"
           "[[material.point]]\ntemperature = 230\nflow = 0.5\ndensity = 0.6\nhardness = 60\n"
           "spread = { hardness = 2 }\n" +
           zones + fmt::format("[sheet]\nplace = [{{ x = 60, y = 50, turn = {} }}]\n", turn_deg) +
           "[predict]\nalong = [1, 0, 0]\ncell = 0.2\n";
}

const std::string whole = "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 0\n";
const std::string stack =
    "[[zone]]\nname = \"grip\"\nwhere = \"z < 1.1\"\ntool = 0\n"
    "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 1\n";

grade::Prediction predicted(const std::string& plan, const std::string& program) {
    grade::Figures figures;
    support::graded(plan::load_text(plan, "block.toml"), program, figures);
    REQUIRE(figures.prediction);
    return *figures.prediction;
}

/// Cells of 0.2 mm tell an outline of 64 mm to half a cell: 2.7 % of 240 mm².
constexpr double outline = 0.027;

}  // namespace

// By hand: 20 · 12 · 2 mm³ of 1.2 g/cm³, E · A / H along z and along x, at 90 ± 1 Shore A.
TEST_CASE("a solid block comes out as it is worked out by hand", "[predict]") {
    const grade::Prediction told = predicted(plan_text(whole), block(0.4));
    REQUIRE(told.zones.size() == 1);
    const grade::ZonePrediction& zone = told.zones[0];
    CHECK(zone.volume_mm3 == Approx(480).epsilon(1e-4));
    CHECK(zone.mass_g == Approx(0.576).epsilon(1e-4));
    CHECK(zone.density_g_cm3 == Approx(1.2).epsilon(1e-4));
    CHECK(zone.fill == Approx(1).epsilon(outline));
    CHECK((zone.shore_a == 90 && zone.shore_a_spread == 1));
    CHECK(zone.modulus_mpa == Approx(grade::gent_mpa(90)));
    REQUIRE(told.parts.size() == 1);
    const grade::PartPrediction& part = told.parts[0];
    CHECK(part.volume_mm3 == Approx(480).epsilon(1e-4));
    CHECK(part.envelope_mm3 == Approx(480).epsilon(outline));
    CHECK(part.shore_a == Approx(90));
    CHECK(part.shore_a_spread == Approx(1));
    // The fill goes into both bounds by no more than its second power.
    CHECK(part.along_z_n_mm->low == Approx(grade::gent_mpa(89) * 240 / 2).epsilon(3 * outline));
    CHECK(part.along_z_n_mm->high == Approx(grade::gent_mpa(91) * 240 / 2).epsilon(2 * outline));
    CHECK(part.along_n_mm->high == Approx(grade::gent_mpa(91) * 24 / 20).epsilon(3 * outline));
}

// Two layers of 1 mm, by hand: in series 240 / (1 / E1 + 1 / E2), in parallel 240 · (E1 + E2) / 4.
TEST_CASE("a stack of two layers lies between series and parallel", "[predict]") {
    const grade::Prediction told = predicted(plan_text(stack), block(0.4));
    const grade::PartPrediction& part = told.parts.at(0);
    const auto series = [](double e1, double e2) { return 240 / (1 / e1 + 1 / e2); };
    CHECK(part.along_z_n_mm->low ==
          Approx(series(grade::gent_mpa(89), grade::gent_mpa(58))).epsilon(3 * outline));
    CHECK(part.along_z_n_mm->high ==
          Approx(240 * (grade::gent_mpa(91) + grade::gent_mpa(62)) / 4).epsilon(2 * outline));
    // Half of each: the mean by volume; mass as fed, 1.2 and 0.6 g/cm³.
    CHECK(part.shore_a == Approx(75).epsilon(1e-4));
    CHECK(part.shore_a_spread == Approx(1.5).epsilon(1e-4));
    CHECK(part.density_g_cm3 == Approx(0.9).epsilon(1e-4));
    CHECK(told.zones.at(1).density_g_cm3 == Approx(0.6).epsilon(1e-4));
    CHECK(told.zones.at(1).shore_a_spread == 2);
}

// Lines every 1.6 mm and two across fill 8 · 20 + 2 · 11.6 of 600 lengths of 0.4 mm: 30.5 %, less
// what crosses: they are counted twice, as the program feeds it.
TEST_CASE("sparse infill is what the beads fill of what they enclose", "[predict]") {
    const grade::Prediction told = predicted(plan_text(whole), block(1.6));
    const double beads = (8 * 20 + 2 * 11.6) * 0.4 * 0.2 * 10;
    const grade::ZonePrediction& zone = told.zones.at(0);
    CHECK(zone.volume_mm3 == Approx(beads).epsilon(1e-3));
    // The last line lies at 5.4, the outline 0.2 beyond: 20 by 11.6 mm.
    CHECK(zone.fill == Approx(beads / (20 * 11.6 * 2)).epsilon(0.04));
    CHECK(zone.filled_mpa.low == Approx(grade::gent_mpa(89) * zone.fill * zone.fill).epsilon(1e-6));
    CHECK(zone.filled_mpa.high == Approx(grade::gent_mpa(91) * zone.fill).epsilon(1e-6));
}

TEST_CASE("a direction turns with the part", "[predict]") {
    const auto along = [](double turn_deg) {
        return *predicted(plan_text(whole, turn_deg), block(0.4, turn_deg)).parts.at(0).along_n_mm;
    };
    const grade::Band straight = along(0), turned = along(90);
    CHECK(turned.low == Approx(straight.low).epsilon(0.02));
    CHECK(turned.high == Approx(straight.high).epsilon(0.02));
}

TEST_CASE("what is not known is not told", "[predict]") {
    const std::string keeps = replaced(whole, "tool = 0", "tool = \"keep\"");
    const std::string text = replaced(plan_text(keeps), "[sheet]\n", "[sheet]\noutside = 0\n");
    const grade::Prediction told = predicted(text, block(0.4));
    CHECK(told.zones.at(0).shore_a == 0);
    CHECK(told.zones.at(0).modulus_mpa == 0);
    CHECK(told.parts.at(0).shore_a == 0);
    CHECK_FALSE(told.parts.at(0).along_z_n_mm);
}

TEST_CASE("what [predict] and [cost] cannot be is told at its place", "[predict][plan]") {
    const std::string text = plan_text(whole);
    CHECK(fault(replaced(text, "along = [1, 0, 0]", "along = [0, 0, 0]"), "out-of-range").text ==
          "`along` in [predict] leads nowhere");
    fault(replaced(text, "cell = 0.2", "cell = 0.1"), "out-of-range");
    fault(replaced(text, "cell = 0.2", "exponent = [0.9, 2]"), "out-of-range");
    fault(replaced(text, "cell = 0.2", "exponent = [1, nan]"), "out-of-range");
    CHECK(fault(replaced(text, "cell = 0.2", "exponent = [2, 1]"), "out-of-range").place.line > 0);
    fault(text + "[cost]\nfailures = 1\n", "out-of-range");
    fault(text + "[cost]\nmachine = -1\n", "out-of-range");
    fault(text + "[cost]\nparts_per_day = 0\n", "out-of-range");
    fault(
        "format = 1\n[machine]\nreach = { x = [0, 9], y = [0, 9], z = [0, 9] }\nhottest = 280\n"
        "[[zone]]\nwhere = \"true\"\ntool = \"keep\"\n[predict]\n",
        "contradiction");
}

// By hand: 100 g at 70 a kg are 7; 2 h at 2.5 are 5; 4 of labour: 16 a sheet. Of 100 sheets 20
// fail: 80 good ones bear 100, 20 each, 4 of it for failures; 10 parts: 2 each. 60 good parts a day
// are 6 good sheets, 7.5 printed, 15 h.
TEST_CASE("what a sheet costs, by hand", "[predict]") {
    grade::Figures figures;
    figures.price_per_kg = 70;
    figures.outside.mass_g = 100;
    figures.after_s = 7200;
    figures.parts.resize(10);
    plan::Cost cost;
    cost.machine_per_hour = 2.5;
    cost.labour_per_sheet = 4;
    cost.failure_share = 0.2;
    cost.parts_per_day = 60;
    const grade::CostFigures told = grade::cost_of_sheet(cost, figures);
    CHECK(told.filament == Approx(7));
    CHECK(told.machine == Approx(5));
    CHECK(told.sheet == Approx(16));
    CHECK(told.good_sheet == Approx(20));
    CHECK(told.failures == Approx(4));
    CHECK(told.good_part == Approx(2));
    CHECK(told.hours_per_day.value() == Approx(15));
    cost.parts_per_day.reset();
    CHECK_FALSE(grade::cost_of_sheet(cost, figures).hours_per_day);
    figures.parts.clear();
    CHECK(grade::cost_of_sheet(cost, figures).good_part == 0);
}
