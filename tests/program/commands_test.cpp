#include <catch2/catch.hpp>

#include "reading.hpp"

/// Commands besides moves: what they set and how they stand in the way. Their meanings are common
/// practice, no source; G4 with P in seconds is RS274/NGC (NISTIR 6556, 3.5.4).
namespace durograde {

using program::Step;
using program::StepKind;
using program_test::code_of;
using program_test::Reading;
using program_test::trial_dialect;

TEST_CASE("dwell: P in the machine's unit, S in seconds", "[program]") {
    program::Dialect seconds = trial_dialect();
    seconds.reads.dwell_p_s = 1;
    CHECK(Reading()("G4 P500").dwell_s == Approx(0.5).epsilon(1e-12));
    CHECK(Reading(seconds)("G4 P500").dwell_s == Approx(500).epsilon(1e-12));
    CHECK(Reading()("G4 S2").dwell_s == Approx(2).epsilon(1e-12));
    CHECK(Reading()("G4 P500 S2").dwell_s == Approx(2).epsilon(1e-12));
    CHECK(Reading()("G4 S2").kind == StepKind::pin);
    CHECK(code_of("G4 P") == "missing-number");
}

TEST_CASE("G10 retracts, or sets a tool where the machine reads it so", "[program]") {
    Reading read;
    CHECK(read("G10").kind == StepKind::filament);
    CHECK(read.state().firmware_retracted);
    CHECK(read("G11").kind == StepKind::filament);
    CHECK_FALSE(read.state().firmware_retracted);
    CHECK(read("G10 P1 S230 R180").kind == StepKind::pin);
    CHECK(read.state().set_point_c(1) == 0);
    read("G10\nG1 X0 Y0 Z1 F600\nM83\nG1 X5 E1");
    CHECK_FALSE(read.state().firmware_retracted);  // a bead is no longer retracted

    program::Dialect tool = trial_dialect();
    tool.reads.g10 = plan::RetractOrTool::tool;
    Reading other(tool);
    const Step step = other("G10 P1 S230 R180");
    CHECK(step.kind == StepKind::heat);
    CHECK((step.tool == 1 && step.temperature_c == 230 && !step.waits));
    CHECK(other.state().set_point_c(1) == 230);
    CHECK(other("G10").kind == StepKind::filament);
    CHECK(other("G10 L2 X1").kind == StepKind::pin);
    CHECK(other("G10 P7 S230").kind == StepKind::pin);  // no tool of the machine
}

TEST_CASE("set-points and waits", "[program]") {
    Reading read;
    const Step set = read("M104 S215");
    CHECK((set.kind == StepKind::heat && set.tool == 0 && set.temperature_c == 215 && !set.waits));
    const Step wait = read("M109 T2 R240");
    CHECK(
        (wait.kind == StepKind::heat && wait.tool == 2 && wait.temperature_c == 240 && wait.waits));
    CHECK(read("M109").temperature_c == 215);
    CHECK(read("M116").waits);
    CHECK(read("M116").tool == -1);
    CHECK(read("M116 P1").tool == 1);
    CHECK(read("M116 P1").names_tool);
    CHECK(read("M116 P").tool == -1);
    CHECK(read("M116 H1").tool == -1);
    CHECK(read("T2").kind == StepKind::tool);
    CHECK(read("M104 S0").tool == 2);
    CHECK(read.state().set_point_c(2) == 0);
    CHECK(read.state().set_point_c(0) == 215);
    CHECK(read("M104 T9 S200").kind == StepKind::pin);
}

TEST_CASE("tools: those of the machine, and commands in disguise", "[program]") {
    Reading read;
    CHECK(read("T1").kind == StepKind::tool);
    CHECK(read.state().tool == 1);
    for (const char* line : {"T77", "T340", "T4711", "T-1", "T", "T1.5", "T1 X4", "T7"}) {
        CAPTURE(line);
        CHECK(read(line).kind == StepKind::pin);
        CHECK(read.state().tool == 1);
    }
    CHECK(read.state().foreign_tool == 7);
    CHECK(read("T0").kind == StepKind::tool);
    CHECK(!read.state().foreign_tool);
    for (const char* line : {"T1 P0", "T1 M6", "M6 T1", "T1 S1", "N7 T1 P0"}) {
        CAPTURE(line);
        read("T0");
        CHECK(read(line).kind == StepKind::tool);
        CHECK(read.state().tool == 1);
    }
    // What takes a tool along in another way leaves in doubt which one is in use.
    for (const char* line : {"M812 T1", "G29 T0"}) CHECK(read(line).tool == program::doubtful_tool);
    CHECK_THROWS_AS(read("G1 X5 T1"), Failure);
    read("T-5");
    CHECK(read.state().foreign_tool == -1);
    read("T77");
    CHECK(!read.state().foreign_tool);
}

TEST_CASE("fan duty is a share of full, 255 or 1", "[program]") {
    Reading read;
    CHECK(read("M106 S255").fan_duty == 1);
    CHECK(read("M106 S127.5").fan_duty == Approx(0.5).epsilon(1e-12));
    CHECK(read("M106 S192.333333").fan_duty == Approx(192.333333 / 255).epsilon(1e-12));
    CHECK(read("M106").fan_duty == 1);
    CHECK(read("M106 S1").fan_duty == Approx(1.0 / 255).epsilon(1e-12));
    CHECK(read("M106 P0 S51").fan_duty == Approx(0.2).epsilon(1e-12));
    CHECK(read.state().fan_duty == Approx(0.2).epsilon(1e-12));
    CHECK(read("M107").fan_duty == 0);
    CHECK(read("M106 P1 S255").kind == StepKind::setting);  // another fan
    CHECK(read.state().fan_duty == 0);
    CHECK(code_of("M106 S-1") == "impossible-fan");

    program::Dialect unit = trial_dialect();
    unit.reads.fan_full = 1;
    CHECK(Reading(unit)("M106 S0.25").fan_duty == Approx(0.25).epsilon(1e-12));
    CHECK(Reading(unit)("M106 S1").fan_duty == 1);
    CHECK(code_of("M106 S1.01", unit) == "impossible-fan");
}

TEST_CASE("labels, progress, settings, frames", "[program]") {
    Reading read;
    CHECK(read("M486 S3").kind == StepKind::label);
    CHECK(read.state().label == 3);
    CHECK(read("M486 S-1").label == -1);
    CHECK(read("M486 T12").kind == StepKind::pin);
    for (const char* line :
         {"M486 S1.5", "M486 S999999999999999", "M104 T1.5 S200", "M104 T999999999999999 S200"}) {
        CAPTURE(line);
        CHECK(read(line).kind == StepKind::pin);
    }
    CHECK(read("M486 S3 A\"left pad\"").kind == StepKind::pin);
    CHECK(read("M73 P40 R12").kind == StepKind::progress);
    for (const char* line :
         {"M201 X500", "M203 X500", "M204 S500", "M205 X8", "M220 S90", "M221 S95", "M140 S60"}) {
        CAPTURE(line);
        CHECK(read(line).kind == StepKind::setting);
    }
    CHECK(read.state().speed_factor == Approx(0.9));
    for (const char* line : {"G90", "G91", "G20", "G21", "M82", "M83", "G92 E0", "M200 D0"}) {
        CAPTURE(line);
        CHECK(read(line).kind == StepKind::frame);
    }
    CHECK(read("M8572 D0 S0.04").kind == StepKind::pin);
    program::Dialect more = trial_dialect();
    more.settings = {"M8572"};
    CHECK(Reading(more)("M8572 D0 S0.04").kind == StepKind::setting);
    CHECK(Reading(more)("M57 D0").kind == StepKind::pin);
}

TEST_CASE("whatever is not understood is a pin", "[program]") {
    for (const char* line : {"G28",
                             "G29",
                             "some sentence.",
                             "%",
                             "M8620 S0A",
                             "G88.1 Z0",
                             "M842 M1 P31 S0",
                             "G53 G90 G40",
                             "/G1 X5",
                             "O100",
                             "G",
                             "M",
                             "G1.5 X3",
                             "G99999999",
                             "A5",
                             "END_JOB",
                             "EXCLUDE_TRAY NAME=a",
                             "REPLY MSG=\"x\"",
                             "FEED_PROBE AXIS=x",
                             "IDLE_LAMP",
                             "JOG",
                             "XY_HOME",
                             "Row_2"}) {
        CAPTURE(line);
        CHECK(Reading()(line).kind == StepKind::pin);
    }
    for (const char* line :
         {"M300 S440", "M117 pads, tray 3: X5", "M400", "M105", "M118 E1 done"}) {
        CAPTURE(line);
        CHECK(Reading()(line).kind == StepKind::comment);
    }
    CHECK(Reading()("").kind == StepKind::blank);
    CHECK(Reading()(" \t").kind == StepKind::blank);
    CHECK(Reading()("; pad 3").kind == StepKind::comment);
    CHECK(Reading()("(pad 3)").kind == StepKind::comment);
}

TEST_CASE("a move may be copied where it is one move and nothing else", "[program]") {
    Reading read;
    read("G1 X0 Y0 Z1 F600");
    CHECK(read("G1 X1 E1 F900").plain);
    CHECK(read("G2 X3 I1 E1").plain);
    CHECK_FALSE(read("G90 G1 X4 E1").plain);
    CHECK_FALSE(read("G1 X5 E1 S1").plain);
    const Step step = read("G1 X6 E 1.25 ; pad");
    CHECK(step.e_begin == 8);
    CHECK(step.e_end == 12);
}

TEST_CASE("numbers that no machine takes are refused", "[program]") {
    const std::string begin = "G1 X0 Y0 Z1 F600\n";
    CHECK(code_of(begin + "G1 X1 E100000000") == "accepted");
    for (const char* line :
         {"G1 X1 E100000001", "G1 X1 E999999999999999", "G92 E-100000001", "G1 F200000000",
          "G4 P999999999999999", "M200 D0.09", "M200 D10.1", "M200 D-1.75"}) {
        CAPTURE(line);
        CHECK(code_of(begin + line) == "impossible-number");
    }
    CHECK(code_of(begin + "M200 D0.1") == "accepted");
    const std::string most = "M83\nG1 X1 E100000000\n";
    CHECK(code_of(begin + most + "G1 X2 E0.001") == "impossible-number");
}

}  // namespace durograde
