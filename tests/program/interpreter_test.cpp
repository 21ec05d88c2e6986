#include "program/interpreter.hpp"

#include <catch2/catch.hpp>
#include <numbers>

#include "reading.hpp"

/// Modal state, units, positions and refusals. Motion modes persist, G20 inch is 25.4 mm
/// (RS274/NGC, NISTIR 6556, 3.3 and 3.5). All that concerns filament: common practice, no source.
namespace durograde {

using program::Step;
using program::StepKind;
using program_test::code_of;
using program_test::Reading;
using program_test::trial_dialect;

TEST_CASE("moves: kinds by what they feed and where they go", "[program]") {
    Reading read;
    read("G21\nG90\nM83\nG1 X0 Y0 Z0.2 F1200");
    CHECK(read("G1 X10").kind == StepKind::travel);
    CHECK(read("G1 X20 E0.5").kind == StepKind::bead);
    CHECK(read("G1 X18 E-0.3").kind == StepKind::wipe);
    CHECK(read("G1 E-0.5").kind == StepKind::filament);
    CHECK(read("G1 E0.8").kind == StepKind::filament);
    CHECK(read("G1 Z1 E0.8").kind == StepKind::filament);  // no way along the bed
    CHECK(read("G1 X18 Y0 E0.5").kind == StepKind::filament);
    CHECK(read("G1 Z5").kind == StepKind::travel);
    CHECK(read("G1 X25 E0").kind == StepKind::travel);
    CHECK(read("G1 F600").kind == StepKind::travel);
    CHECK(read.state().feed_mm_min == 600);
}

TEST_CASE("motion mode and feed persist", "[program]") {
    Reading read;
    read("G1 X1 Y2 Z3 F900");
    const Step step = read("X10 Y5");
    CHECK(step.kind == StepKind::travel);
    CHECK(step.from == program::Point{1, 2, 3});
    CHECK(step.to == program::Point{10, 5, 3});
    CHECK(step.feed_mm_min == 900);
    CHECK(read("F140").feed_mm_min == 140);
    CHECK(read("y7 e1").kind == StepKind::bead);
    CHECK(Reading()("X10 Y5").kind == StepKind::pin);  // no motion mode yet
    CHECK(Reading()("F140").kind == StepKind::travel);
}

TEST_CASE("inches become millimetres, feeds too", "[program]") {
    Reading read;
    const Step step = read("G20 G1 X1 F100");
    CHECK(step.to.x == Approx(25.4).epsilon(1e-12));
    CHECK(step.feed_mm_min / 60 == Approx(42.3333333333).epsilon(1e-9));
    CHECK(read("G20\nG91\nG1 X0.5").to.x == Approx(38.1).epsilon(1e-12));
    CHECK(read("M83\nG1 E0.1").e_mm == Approx(2.54).epsilon(1e-12));
    CHECK(read("G21\nG1 X1").to.x == Approx(39.1).epsilon(1e-12));
}

TEST_CASE("a change of units restates the count of E", "[program]") {
    Reading read;
    read("G90\nM82\nG92 E25.4\nG20");
    CHECK(read.state().e_register == Approx(1.0).epsilon(1e-12));
    CHECK(read("G1 E2").e_mm == Approx(25.4).epsilon(1e-12));
}

TEST_CASE("relative coordinates add up", "[program]") {
    Reading read;
    read("G90\nG1 X10 Y10 Z1 F600\nG91\nG1 X-0.5\nG1 Y2 Z0.2\nX1");
    CHECK(read.state().position.x == Approx(10.5).epsilon(1e-12));
    CHECK(read.state().position.y == Approx(12).epsilon(1e-12));
    CHECK(read.state().position.z == Approx(1.2).epsilon(1e-12));
    CHECK(read("G91 G1 X1 G90").to.x == 1);  // words of a line may stand in any order
}

TEST_CASE("G92 gives the present point other coordinates without motion", "[program]") {
    Reading read;
    read("G90\nG1 X10 Y10 Z1 F600");
    CHECK(read("G92 X0").kind == StepKind::pin);
    CHECK(read.state().position.x == 10);
    CHECK(read("G1 X5").to == program::Point{15, 10, 1});
    read("G92");  // all registers to zero
    CHECK(read("G1 X1 Y1 Z1").to == program::Point{16, 11, 2});
    CHECK(read("G92 E3").kind == StepKind::frame);
    CHECK(read("M82\nG1 E3.5").e_mm == Approx(0.5).epsilon(1e-12));
    CHECK(read.code("G92 X Y0") == "missing-number");
}

TEST_CASE("absolute and relative E", "[program]") {
    Reading read;
    read("G1 X0 Y0 Z1 F600\nM82\nG92 E0");
    CHECK(read("G1 X1 E0.5").e_mm == 0.5);
    CHECK(read("G1 X2 E0.75").e_mm == 0.25);
    CHECK(read("G1 X3 E0.75").kind == StepKind::travel);
    CHECK(read("M83\nG1 X4 E0.5").e_mm == 0.5);
    CHECK(read("M82\nG1 X5 E2").e_mm == 0.75);
}

TEST_CASE("whether the distance mode sets the E mode is the machine's way", "[program]") {
    const auto second = [](const std::string& lines, bool sets_e) {
        program::Dialect dialect = trial_dialect();
        dialect.reads.distance_mode_sets_e = sets_e;
        Reading read(dialect);
        read("G1 X0 Y0 Z1 F600\nG92 E0");
        return read(lines).e_mm;
    };
    CHECK(second("M83\nG90\nG1 E1\nG1 E1", true) == 0);
    CHECK(second("M83\nG90\nG1 E1\nG1 E1", false) == 1);
    CHECK(second("M82\nG91\nG1 E5\nG1 E5", true) == 5);
    CHECK(second("M82\nG91\nG1 E5\nG1 E5", false) == 0);
    CHECK(second("G91\nM82\nG1 E5\nG1 E5", true) == 0);  // said later, M82 stands
}

TEST_CASE("a volume of E is divided by the filament's cross-section", "[program]") {
    Reading read;
    read("G1 X0 Y0 Z1 F600\nM83\nM200 D1.75");
    const double area = std::numbers::pi / 4 * 1.75 * 1.75;
    CHECK(read("G1 X1 E1").e_mm == Approx(1 / area).epsilon(1e-12));
    CHECK(read("M200 D0\nG1 X2 E1").e_mm == 1);
    CHECK(read("M200 D2.85\nG1 X3 E1").e_mm == Approx(1 / 6.379396582).epsilon(1e-9));
    CHECK(read("M200 S0\nG1 X4 E1").e_mm == 1);
    CHECK(read("M200 S1\nG1 X5 E1").e_mm == Approx(1 / area).epsilon(1e-9));
}

TEST_CASE("retraction is counted until restarted", "[program]") {
    Reading read;
    read("G1 X0 Y0 Z1 F600\nM83\nG1 E-1.2");
    CHECK(read.state().retracted_mm == Approx(1.2));
    read("G1 X5\nG1 E0.7");
    CHECK(read.state().retracted_mm == Approx(0.5));
    read("G1 E0.9");
    CHECK(read.state().retracted_mm == 0);
    read("G1 X6 E-0.3\nG1 X9 E0.2");
    CHECK(read.state().retracted_mm == 0);
}

TEST_CASE("homing and commands that are not understood make positions unknown", "[program]") {
    Reading read;
    read("G1 X1 Y2 Z3 F600");
    CHECK(read.state().position_known());
    read("G28 X");
    CHECK_FALSE(read.state().known[0]);
    CHECK(read.state().known[1]);
    read("G28");
    CHECK_FALSE(read.state().known[1]);
    read("G1 X1 Y2\nG88.1 Z0");
    CHECK_FALSE(read.state().known[2]);
    read("G91\nG1 Z1");
    CHECK_FALSE(read.state().known[2]);  // an increment tells no position
    read("G90\nG1 Z1");
    CHECK(read.state().position_known());
}

TEST_CASE("what can be no move is refused with its place", "[program]") {
    CHECK(code_of("G1 X1.2.3") == "malformed-move");
    CHECK(code_of("G1 X---10") == "malformed-move");
    CHECK(code_of("G92..1") == "malformed-move");
    CHECK(code_of("G1 X Y Z E") == "missing-number");
    CHECK(code_of("G1 Xnan") == "missing-number");
    CHECK(code_of("G1 Xinf") == "missing-number");
    CHECK(code_of("G1 X1 E") == "missing-number");
    CHECK(code_of("G1 X\"left\"") == "missing-number");
    CHECK(code_of("G1 X10 F0") == "impossible-feed");
    CHECK(code_of("G1 X10 F-600") == "impossible-feed");
    CHECK(code_of("G1 X1 Y1 Z1\nG1 X2 E1") == "no-feed");
    CHECK(code_of("G1 X1 F600\nG1 X2 E1") == "unknown-position");
    CHECK(code_of("G28\nG1 X1 Y1 Z1 E1 F600") == "unknown-position");
    CHECK(code_of("T7\nG1 X1 Y1 Z1 F600\nG1 X2 E1") == "unknown-tool");
    CHECK(code_of("T-1\nG1 X1 Y1 Z1 F600\nG1 X2 E1") == "unknown-tool");
    CHECK(code_of("T-1\nG1 X1 Y1 Z1 F600\nT0\nG1 X2 E1") == "accepted");
    CHECK(code_of("M104 S900") == "impossible-temperature");
    CHECK(code_of("M104 S-5") == "impossible-temperature");
    const auto refusal = Reading().refusal("G1 X5 F600\nG1 X10 F0 ; slow");
    REQUIRE(refusal);
    CHECK(refusal->place.line == 2);
    CHECK(refusal->place.column == 8);
    CHECK(refusal->source_line == "G1 X10 F0 ; slow");
}

TEST_CASE("moves leave no reach", "[program]") {
    const std::string start = "G90\nG1 X10 Y10 Z1 F600\n";
    CHECK(code_of(start + "G1 X200") == "accepted");
    CHECK(code_of(start + "G1 X200.001") == "out-of-reach");
    CHECK(code_of(start + "G1 Y-50.001") == "out-of-reach");
    CHECK(code_of(start + "G1 Z-0.001") == "out-of-reach");
    CHECK(code_of(start + "G1 X1e30") == "accepted");  // a number and the letter E
    CHECK(code_of(start + "G1 X99999999") == "out-of-reach");
    CHECK(code_of(start + "G91\nG1 X191") == "out-of-reach");
    CHECK(code_of(start + "G92 X0\nG1 X191") == "out-of-reach");
    CHECK(code_of(start + "G20\nG1 X8") == "out-of-reach");
    // Both ends in reach, the bulge between them not.
    CHECK(code_of(start + "G1 X190 Y0\nG3 X190 Y20 I0 J10") == "accepted");
    CHECK(code_of(start + "G1 X190.1 Y0\nG3 X190.1 Y20 I0 J10") == "out-of-reach");
}

TEST_CASE("a wrong checksum is refused at its star", "[program]") {
    CHECK(code_of("N3 T0*57") == "accepted");
    CHECK(code_of("  N3 T0*57 ; tool 0") == "accepted");
    CHECK(code_of("N0 M106 *4") == "accepted");
    CHECK(code_of("N3 T0*58") == "wrong-checksum");
    const auto refusal = Reading().refusal("N4 G92 E0*66");
    REQUIRE(refusal);
    CHECK(refusal->place.column == 10);
}

}  // namespace durograde
