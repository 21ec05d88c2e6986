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
// before it. It states where they are.
TEST_CASE("G92 after homing does not count from where the axis was", "[program]") {
    Reading read;
    read("G90\nG1 X100 Y10 Z1 F600\nG28\nG92 X0 Y0 Z0");
    CHECK(read.state().position_known());
    read("G91\nG1 X5 Y5 Z1");
    CHECK(read.state().position.x == Approx(5));
    CHECK(read.state().position.z == Approx(1));
    CHECK(read("G90\nG1 X7").to.x == Approx(7));
    CHECK(read.code("M83\nG1 X9 E1") == "accepted");
}

namespace {

constexpr const char* bead = "G1 X20 Y10 E1\n";
/// What the next bead, at absolute coordinates, is refused with after `line`.
std::string bead_after(const std::string& line) {
    return code_of(std::string(start) + bead + line + "\nG90\nM83\nG1 X10 Y10 Z1\nG1 X30 Y10 E1");
}

}  // namespace

// NISTIR 6556, 3.5.13 and 3.5.18: how far a work offset shifts the axes stands in the controller's
// parameters.
TEST_CASE("beads beside a zero that the controller alone knows are refused", "[program]") {
    for (const char* line : {"G54", "G55", "G59.3", "G52 X5", "G10 L2 P1 X5", "G10 L20 P1 X5",
                             "G28\nG92 X0", "G28 X0\nG92 X5", "G28\nG92"}) {
        CAPTURE(line);
        CHECK(bead_after(line) == "unknown-zero");
    }
    for (const char* line : {"G92 X0", "G28", "G28 X0\nG1 X5\nG92 X0", "G92 E5", "G53"}) {
        CAPTURE(line);
        CHECK(bead_after(line) == "accepted");
    }
    // A zero that no bead follows does no harm.
    CHECK(code_of(std::string(start) + bead + "G55\nG1 X10 Y10") == "accepted");
}

TEST_CASE("a work offset before the first bead makes positions unknown, and no more", "[program]") {
    const std::string selected = std::string(start) + "G54\n";
    CHECK(code_of(selected + "G1 X20 E1") == "unknown-position");
    CHECK(code_of(selected + "G1 X10 Y10 Z1\nG1 X20 E1") == "accepted");
    // The one that is selected may be said again.
    CHECK(code_of(selected + "G1 X10 Y10 Z1\nG1 X20 E1\nG54\nG1 X30 E1") == "accepted");
    CHECK(code_of(selected + "G1 X10 Y10 Z1\nG1 X20 E1\nG55\nG1 X10 Y10 Z1\nG1 X30 E1") ==
          "unknown-zero");
}

TEST_CASE("G92.2 sets the offsets aside, G92.3 brings them back", "[program]") {
    Reading read;
    read("G90\nG1 X50 Y10 Z1 F600\nG92 X0\nG92.2");
    CHECK(read("G1 X60").to.x == Approx(60).epsilon(1e-12));
    read("G92.3");
    CHECK(read("G1 X10").to.x == Approx(60).epsilon(1e-12));
    read("G92.1\nG92.3");
    CHECK(read("G1 X10").to.x == Approx(10).epsilon(1e-12));
}

// NISTIR 6556, 3.3.1: a line number is a whole number. A sign is let by.
TEST_CASE("a line number that is none does not hide a move", "[program]") {
    CHECK(code_of(std::string(start) + "N5.5 G1 X20 E1") == "malformed-move");
    CHECK(code_of(std::string(start) + "N5.5 X20 E1") == "malformed-move");
    CHECK(code_of(std::string(start) + "N5.5 M84") == "accepted");
    Reading read;
    read(start);
    const Step step = read("N-5 G1 X20 E1");
    CHECK(step.kind == StepKind::bead);
    CHECK(step.to.x == 20.0);
}

}  // namespace durograde
