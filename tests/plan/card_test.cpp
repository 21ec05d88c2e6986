#include "plan/card.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "plan/load.hpp"
#include "plan/material_curve.hpp"
#include "sample_plan.hpp"

using namespace durograde;
using durograde::plan::Curve;
using durograde::plan::MaterialPoint;

namespace {

/// A made-up card: temperatures and Shore A.
std::vector<MaterialPoint> points_of(const std::vector<std::pair<double, double>>& hardness) {
    std::vector<MaterialPoint> points;
    for (const auto& [celsius, shore] : hardness) points.push_back({celsius, 1.0, 1.0, shore, 0.0});
    return points;
}

std::vector<Diagnostic> warnings_of(const std::string& points) {
    const std::string text = plan_test::small_plan() + "[material]\n" + points;
    return plan::load_text(text, "pads.toml").warnings;
}

const Diagnostic* find(const std::vector<Diagnostic>& list, const std::string& code) {
    for (const Diagnostic& found : list)
        if (found.code == code) return &found;
    return nullptr;
}

bool has_code(const std::vector<Diagnostic>& faults, const std::string& code) {
    return find(faults, code) != nullptr;
}

}  // namespace

// The coupon of the tests of curves: the inverse by SciPy 1.10.1, PchipInterpolator and brentq,
// 0.70 at 226.0214894 °C and 0.90 at 212.9281587 °C, both in inner intervals, which Boost shares.
TEST_CASE("the way back through a curve is the published one", "[curve]") {
    const auto density = plan::monotone_curve({190, 200, 210, 220, 230, 240, 250},
                                              {1.18, 1.10, 0.95, 0.78, 0.66, 0.60, 0.58});
    CHECK(plan::inverse(density, 190, 250, 0.70).value() == Approx(226.0214894).margin(1e-6));
    CHECK(plan::inverse(density, 190, 250, 0.90).value() == Approx(212.9281587).margin(1e-6));
    CHECK(plan::inverse(density, 190, 250, 1.18).value() == Approx(190).margin(1e-9));
    CHECK(plan::inverse(density, 190, 250, 0.58).value() == Approx(250).margin(1e-9));
    CHECK_FALSE(plan::inverse(density, 190, 250, 1.1801));
    CHECK_FALSE(plan::inverse(density, 190, 250, 0.5799));
}

TEST_CASE("a hardness leads to its temperature, and back", "[curve][property]") {
    CHECK(rc::check([] {
        const auto count = *rc::gen::inRange<std::size_t>(2, 8);
        std::vector<MaterialPoint> points;
        double celsius = 180, shore = 95;
        for (std::size_t i = 0; i < count; ++i) {
            points.push_back({celsius, 1.0, 1.0, shore, 0.0});
            celsius += *rc::gen::inRange(1, 30);
            shore -= 0.1 * *rc::gen::inRange(1, 120);
        }
        const Curve curve(points);
        const double share = 0.001 * *rc::gen::inRange(0, 1001);
        const double wanted =
            points.front().hardness_shore_a +
            share * (points.back().hardness_shore_a - points.front().hardness_shore_a);
        const auto found = curve.temperature_c(wanted);
        RC_ASSERT(found.has_value());
        RC_ASSERT(std::abs(curve.hardness_shore_a(*found) - wanted) < 1e-6);
        RC_ASSERT(!curve.temperature_c(points.front().hardness_shore_a + 0.01));
        RC_ASSERT(!curve.temperature_c(points.back().hardness_shore_a - 0.01));
    }));
}

TEST_CASE("values come with the points that they are from, and their spread", "[curve]") {
    std::vector<MaterialPoint> points = points_of({{190, 92}, {210, 84}, {230, 74}});
    for (MaterialPoint& point : points) point.spread.hardness_shore_a = 1.5;
    points[2].spread.hardness_shore_a = 2.5;
    points[2].max_flow_mm3_s = points[1].max_flow_mm3_s = points[0].max_flow_mm3_s = 6;
    const Curve curve(points);
    const plan::CardValues at = curve.at(210);
    CHECK((at.from_c == 210 && at.to_c == 210 && at.is_measured()));
    CHECK(at.hardness_shore_a == Approx(84));
    const plan::CardValues between = curve.at(213);
    CHECK((between.from_c == 210 && between.to_c == 230 && !between.is_measured()));
    CHECK(between.hardness_shore_a == curve.hardness_shore_a(213));
    CHECK((between.spread.hardness_shore_a > 1.5 && between.spread.hardness_shore_a < 2.5));
    CHECK(between.max_flow_mm3_s == 6);
    CHECK(curve.at(190).from_c == 190);
    CHECK(curve.at(230).to_c == 230);
}

TEST_CASE("a hardness that two temperatures give is told with both", "[curve][plan]") {
    // By hand: two points give straight lines, so that 80 lies at 200 and, beyond the turn at 210,
    // on the way from 70 to 90 in the middle.
    const auto turn = plan::find_twice_hard(points_of({{200, 80}, {210, 70}, {230, 90}}));
    REQUIRE(turn);
    CHECK(turn->hardness_shore_a == 80);
    CHECK(turn->colder_c == Approx(200));
    CHECK((turn->hotter_c > 210 && turn->hotter_c < 230));
    const Curve curve(points_of({{200, 80}, {210, 70}, {230, 90}}));
    CHECK(curve.hardness_shore_a(turn->hotter_c) == Approx(80).margin(1e-9));
    CHECK_FALSE(curve.temperature_c(75));
    const auto flat = plan::find_twice_hard(points_of({{200, 80}, {210, 80}, {230, 60}}));
    REQUIRE(flat);
    CHECK((flat->hardness_shore_a == 80 && flat->colder_c == 200 && flat->hotter_c == 210));
    CHECK_FALSE(plan::find_twice_hard(points_of({{200, 80}, {210, 70}, {230, 60}})));
    CHECK_FALSE(plan::find_twice_hard(points_of({{200, 60}, {210, 70}, {230, 90}})));

    const auto warnings = warnings_of(
        "[[material.point]]\ntemperature = 190\nhardness = 80\n"
        "[[material.point]]\ntemperature = 210\nhardness = 70\n"
        "[[material.point]]\ntemperature = 230\nhardness = 90\n");
    const Diagnostic* found = find(warnings, "twice-as-hard");
    REQUIRE(found != nullptr);
    CHECK(found->text.find("Shore A 80 at 190 °C and at 22") != std::string::npos);
}

TEST_CASE("points out of order are warned of, doubled ones refused", "[plan]") {
    const auto point = [](const std::string& celsius) {
        return "[[material.point]]\ntemperature = " + celsius + "\n";
    };
    const auto warnings = warnings_of(point("230") + point("190"));
    const Diagnostic* found = find(warnings, "unordered");
    REQUIRE(found != nullptr);
    CHECK(found->text == "this point, at 190 °C, stands behind one at 230 °C");
    CHECK(found->place.line > 0);
    CHECK(find(warnings_of(point("190") + point("230")), "unordered") == nullptr);
    const std::string plan = plan_test::small_plan() + "[material]\n";
    CHECK(has_code(plan_test::faults_of(plan + point("190") + point("190")), "duplicate"));
    CHECK(has_code(plan_test::faults_of(plan + point("190")), "missing-key"));
    for (const char* value : {"nan", "inf", "-inf"}) {
        INFO(value);
        for (const char* key : {"flow", "density", "hardness", "ooze", "max_flow"}) {
            const std::string line = std::string(key) + " = " + value + "\n";
            CHECK(has_code(plan_test::faults_of(plan + point("190") + line + point("230") + line),
                           "out-of-range"));
        }
        CHECK(has_code(plan_test::faults_of(plan + point(value) + point("230")), "out-of-range"));
    }
}

TEST_CASE("a spread is given at every point, beside its value", "[plan]") {
    const std::string plan = plan_test::small_plan() + "[material]\n";
    const std::string cold = "[[material.point]]\ntemperature = 190\nhardness = 90\n";
    const std::string hot = "[[material.point]]\ntemperature = 230\nhardness = 70\n";
    const std::string spread = "spread = { hardness = 1.5 }\n";
    CHECK(has_code(plan_test::faults_of(plan + cold + spread + hot), "incomplete-points"));
    CHECK(plan_test::faults_of(plan + cold + spread + hot + spread).empty());
    const std::string other = "spread = { ooze = 0.1 }\n";
    CHECK(has_code(plan_test::faults_of(plan + cold + other + hot + other), "contradiction"));
}
