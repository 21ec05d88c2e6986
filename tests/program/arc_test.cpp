#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "reading.hpp"

/// Arcs of RS274/NGC (NISTIR 6556, 3.5.3): centre by I and J from the start, or a radius whose sign
/// tells the smaller sweep from the larger. The mismatch that is allowed: common practice, no
/// source.
namespace durograde {
namespace {

using program::Step;
using program_test::code_of;
using program_test::Reading;
using program_test::trial_dialect;

program::Dialect wide() {
    program::Dialect dialect = trial_dialect();
    dialect.reach_x = dialect.reach_y = {-3000, 3000};
    return dialect;
}

/// The arc of `line` from (x, y, 0).
Step arc_from(double x, double y, const std::string& line) {
    Reading read(wide());
    read("G21\nG90\nM83\nG1 X" + std::to_string(x) + " Y" + std::to_string(y) + " Z0 F600");
    return read(line);
}

std::string code_from(double x, const std::string& line) {
    return code_of("G90\nG1 X" + std::to_string(x) + " Y0 Z0 F600\n" + line, wide());
}

void check_arc(const Step& step, double cx, double cy, double sweep_deg, double length_mm) {
    REQUIRE(step.is_arc);
    CHECK(step.arc.center_x == Approx(cx).epsilon(1e-9).margin(1e-9));
    CHECK(step.arc.center_y == Approx(cy).epsilon(1e-9).margin(1e-9));
    CHECK(step.arc.sweep_rad * 180 / std::numbers::pi == Approx(sweep_deg).epsilon(1e-9));
    CHECK(step.arc.length_mm() == Approx(length_mm).epsilon(1e-9));
}

}  // namespace

TEST_CASE("arcs by their centre", "[program]") {
    const Step standard = arc_from(7, 7, "G2 x10 y16 i3 j4 z9");  // the standard's own example
    check_arc(standard, 10, 11, -143.1301023542, 12.4904577240);
    CHECK(standard.arc.radius == Approx(5).epsilon(1e-12));
    CHECK(standard.length_mm() == Approx(15.3951789257).epsilon(1e-9));  // as a helix
    check_arc(arc_from(7, 7, "G3 X10 Y16 I3 J4"), 10, 11, 216.8698976458, 18.9254688119);
    check_arc(arc_from(0, 0, "G2 X1 Y1 I1"), 1, 0, -90, std::numbers::pi / 2);
    check_arc(arc_from(0, 0, "G2 X0 Y1 I1 J0.5"), 1, 0.5, -53.1301023542, 1.0367475713);
    check_arc(arc_from(0, 1, "G3 X0 Y0 I1 J-0.5"), 1, 0.5, 53.1301023542, 1.0367475713);
}

TEST_CASE("arcs by their radius", "[program]") {
    check_arc(arc_from(0, 0, "G2 X10 Y15 R20"), 19.8550690649, -2.4033793766, -53.5764263577,
              18.7017008279);
    check_arc(arc_from(0, 0, "G2 X10 Y15 R-20"), -9.8550690649, 17.4033793766, -306.4235736423,
              106.9620053157);
    // Counter-clockwise the centre lies on the other side.
    check_arc(arc_from(0, 0, "G3 X10 Y15 R20"), -9.8550690649, 17.4033793766, 53.5764263577,
              18.7017008279);
    check_arc(arc_from(0, 0, "G2 X2 R1"), 1, 0, -180, std::numbers::pi);
    CHECK(code_from(0, "G2 X10 Y15 R5") == "impossible-arc");
    CHECK(code_from(0, "G2 X0 Y0 R5") == "impossible-arc");  // the end is the start
    CHECK(code_from(0, "G2 R5") == "impossible-arc");
    CHECK(code_from(0, "G2 X1 Y1") == "arc-without-centre");
    CHECK(code_from(0, "G2 X1 Y1 I") == "missing-number");
}

TEST_CASE("an arc that ends where it starts is a full circle", "[program]") {
    check_arc(arc_from(10, 0, "G2 I-10"), 0, 0, -360, 62.8318530718);
    check_arc(arc_from(10, 0, "G3 I-10"), 0, 0, 360, 62.8318530718);
    check_arc(arc_from(10, 0, "G2 X10 Y0 I-10 J0"), 0, 0, -360, 62.8318530718);
}

TEST_CASE("an arc's ends may differ a little in their distance from the centre", "[program]") {
    CHECK(code_from(0, "G2 X10 Y16 I3 J4") == "impossible-arc");  // radii 5 and 13.9
    CHECK(code_from(0, "G2 X10 Y16 I0 J0") == "impossible-arc");
    // Half turns around the origin, the end too far out by the second number.
    CHECK(code_from(100, "G2 X-100.09 Y0 I-100") == "accepted");
    CHECK(code_from(10, "G2 X-10.020 Y0 I-10") == "impossible-arc");
    // Two decimals explain four roundings of 0.005 mm along both axes: 0.0283 mm.
    CHECK(code_from(10, "G2 X-10.02 Y0 I-10") == "accepted");
    CHECK(code_from(10, "G2 X-10.03 Y0 I-10") == "impossible-arc");
    CHECK(code_from(10, "G2 X-10.008 Y0 I-10") == "accepted");
    CHECK(code_from(1000, "G2 X-1000.6 Y0 I-1000") == "impossible-arc");
    CHECK(code_from(10, "G2 X-10.0019 Y0 I-10") == "accepted");
}

TEST_CASE("an arc of all but a turn keeps the centre that it says", "[program]") {
    // Its ends are 0.1 mm apart and 0.011 mm off one circle, as two decimals write it: the centre
    // that lies as far from both is 0.64 mm away, and the far side with it.
    for (const Step& step : {arc_from(66, 60, "G3 X66.01 Y59.90 I-6.00 J0.00"),
                             arc_from(66.01, 59.9, "G2 X66.00 Y60.00 I-6.01 J0.10")}) {
        REQUIRE(step.is_arc);
        CHECK(step.arc.center_x == Approx(60).margin(1e-9));
        CHECK(step.arc.center_y == Approx(60).margin(1e-9));
    }
    // Half a turn: the same 0.01 mm is shared between its ends.
    const Step half = arc_from(66, 60, "G3 X53.99 Y60.00 I-6.00 J0.00");
    CHECK(half.arc.center_x == Approx(59.995).margin(1e-6));
}

TEST_CASE("points along an arc lie on it, the last one at the end as given", "[program]") {
    const Step step = arc_from(7, 7, "G3 X10 Y16 I3 J4 Z9");
    for (const double share : {0.0, 0.1, 0.5, 0.9}) {
        const program::Point at = along(step.arc, step.from, step.to, share);
        CHECK(std::hypot(at.x - 10, at.y - 11) == Approx(5).epsilon(1e-12));
        CHECK(at.z == Approx(9 * share).margin(1e-12));
    }
    CHECK(along(step.arc, step.from, step.to, 1.0) == step.to);
    // Where the end lies a little off the circle, it is the end all the same.
    const Step off = arc_from(100, 0, "G2 X-100.09 Y0 I-100");
    CHECK(along(off.arc, off.from, off.to, 1.0).x == -100.09);
    CHECK(distance(along(step.arc, step.from, step.to, 0.0), step.from) < 1e-12);
    CHECK(distance(along(step.arc, step.from, step.to, 1 - 1e-12), step.to) < 1e-9);
}

TEST_CASE("inches, increments and offsets hold for arcs as well", "[program]") {
    Reading read(wide());
    read("G21\nG90\nG1 X10 Y10 Z0 F600\nG92 X0 Y0\nG20\nG91");
    const Step step = read("G3 X0 Y1 I0 J0.5");
    check_arc(step, 10, 10 + 12.7, 180, 12.7 * std::numbers::pi);
    CHECK(step.to.y == Approx(35.4).epsilon(1e-12));
}

TEST_CASE("an arc stays an arc in the lines after it", "[program]") {
    Reading read(wide());
    read("G90\nG1 X10 Y0 Z0 F600\nG2 I-10");
    const Step step = read("X0 Y-10 I-10");
    CHECK(step.is_arc);
    CHECK(step.arc.sweep_rad == Approx(-std::numbers::pi / 2).epsilon(1e-12));
}

}  // namespace durograde
