#include <catch2/catch.hpp>
#include <numbers>

#include "reading.hpp"

/// Words that sliced programs hardly hold, and that change where a bead lies when they do.
namespace durograde {

using program::Step;
using program::StepKind;
using program_test::code_of;
using program_test::Reading;

namespace {

constexpr const char* start = "G90\nM83\nG1 X10 Y10 Z1 F600\n";

}  // namespace

// The standard's own example of an arc (NISTIR 6556, 3.5.3.2) names the plane on the same line.
TEST_CASE("a plane named on an arc's line leaves it an arc", "[program]") {
    Reading read;
    read("G90\nM83\nG1 X7 Y7 Z0 F600");
    const Step step = read("G17 G2 x10 y16 i3 j4 z9 e1");
    CHECK(step.kind == StepKind::bead);
    CHECK(step.arc.radius == Approx(5).epsilon(1e-12));
}

// NISTIR 6556, 3.3: no letter but G and M occurs twice on a line. Readers differ in which one they
// obey.
TEST_CASE("a letter given twice on a move is refused", "[program]") {
    CHECK(code_of(std::string(start) + "G1 X10 X20 Y5 E1") != "accepted");
    CHECK(code_of(std::string(start) + "G1 X20 E1 E2") != "accepted");
    CHECK(code_of(std::string(start) + "G1 X0x1p3") != "accepted");
}

// NISTIR 6556, 3.5.3: the XZ and YZ planes turn an arc out of the bed.
TEST_CASE("an arc in another plane is not read as one along the bed", "[program]") {
    CHECK(code_of(std::string(start) + "G18\nG90\nG1 X10 Y10 Z1\nG2 X20 Z1 I5 E1") != "accepted");
}

// With P2 an arc goes round once more: 413.13 degrees (common practice, no source).
TEST_CASE("an arc's further turns are read or refused", "[program]") {
    Reading read;
    read("G90\nM83\nG1 X0 Y0 Z0 F600");
    const std::string line = "G2 X0 Y1 I1 J0.5 P2 E1";
    if (read.code(line) != "accepted") return;
    Reading again;
    again("G90\nM83\nG1 X0 Y0 Z0 F600");
    CHECK(again(line).arc.length_mm() == Approx(8.0615623024).epsilon(1e-9));
}

// NISTIR 6556, 3.5.18: G92.1 sets the offsets to zero.
TEST_CASE("G92.1 clears what G92 has offset", "[program]") {
    Reading read;
    read("G90\nG1 X50 Y10 Z1 F600\nG92 X0\nG92.1");
    CHECK(read("G90\nG1 X60 Y10 Z1").to.x == Approx(60).epsilon(1e-12));
}

// A circle of 5.3 mm around x = -45 comes to x = -50.3; the bed ends at -50.
TEST_CASE("an arc's outermost point is in reach too", "[program]") {
    const double turn = std::numbers::pi / 8;
    const std::string x = std::to_string(-45 + 5.3 * std::cos(turn)),
                      y = std::to_string(50 + 5.3 * std::sin(turn)),
                      i = std::to_string(-5.3 * std::cos(turn)),
                      j = std::to_string(-5.3 * std::sin(turn));
    const std::string to_start = "G90\nG1 X" + x + " Y" + y + " Z1 F600\n";
    CHECK(code_of(to_start + "G2 I" + i + " J" + j) == "out-of-reach");
}

// Before any move the position is not known: 0 is no excuse for a bead at 0.
TEST_CASE("the first move of an axis is checked for reach as any other", "[program]") {
    program::Dialect dialect = program_test::trial_dialect();
    dialect.reach_x = {5, 200};
    CHECK(code_of("G90\nG1 X0 Y10 Z1 F600", dialect) == "out-of-reach");
}

// After homing nothing tells where the axes were: a G92 there cannot count from the last place
// before it.
TEST_CASE("G92 after homing does not count from where the axis was", "[program][!shouldfail]") {
    Reading read;
    read("G90\nG1 X100 Y10 Z1 F600\nG28\nG92 X0 Y0 Z0");
    if (read.code("G1 X5 Y5 Z1") != "accepted") return;
    CHECK((read.state().position.x == Approx(5) || !read.state().known[0]));
}

}  // namespace durograde
