#include "report/inspection.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "grade/survey.hpp"
#include "pad_program.hpp"
#include "text/program_input.hpp"

/// What `inspect` tells of a program.
namespace durograde {
namespace {

using support::PadProgram;

grade::Survey surveyed(const std::string& text, bool g10_sets = false) {
    ProgramInput input = ProgramInput::from_text(text, "pads.gcode");
    LineSource source = input.first_reading();
    plan::Machine machine;
    machine.reach_x = machine.reach_y = machine.reach_z = {-200.0, 800.0};
    program::Dialect dialect;
    if (g10_sets) dialect.reads.g10 = plan::RetractOrTool::tool;
    return grade::survey(source, dialect, machine);
}

std::string inspected(const std::string& text) {
    return report::inspection(surveyed(text, true), nullptr, "pads.gcode");
}

bool says(const std::string& told, const std::string& part) {
    return told.find(part) != std::string::npos;
}

void print_pads(PadProgram& program) {
    for (int layer = 0; layer < 3; ++layer) {
        program.height(0.3 + 0.2 * layer);
        program.pad(support::moved(support::rectangle(15, 10), 100, 100));
    }
}

}  // namespace

TEST_CASE("islands are told as parts are", "[report]") {
    PadProgram program;
    print_pads(program);
    const std::string told = inspected(program.text());
    INFO(told);
    CHECK(says(told, "       100       100   30.00   20.00"));
    CHECK(says(told, "{ x = 100, y = 100, turn = 0 }"));
}

TEST_CASE("a slanted purge line is neither a spiral nor a part", "[report]") {
    PadProgram program;
    program.height(0.2);
    program.path({{10, 20}, {10, 60}});
    program.line("G1 Z0.6 Y120 E6");
    print_pads(program);
    const std::string told = inspected(program.text());
    INFO(told);
    CHECK_FALSE(says(told, "spiral"));
    CHECK_FALSE(says(told, "one after another"));
    CHECK(says(told, "Layers   3 found"));
    CHECK(surveyed(program.text()).layer_height_mm == Approx(0.2));
}

TEST_CASE("all set-points of a tool are told, those of G10 too", "[report]") {
    PadProgram program;
    print_pads(program);
    program.line("M104 S215");
    program.path({{90, 100}, {110, 100}});
    program.line("G10 P0 S230 R180");
    program.path({{90, 102}, {110, 102}});
    const std::string told = inspected(program.text());
    INFO(told);
    CHECK(says(told, "T0 extrudes, set to 190 °C, 215 °C, 230 °C"));
}

TEST_CASE("a feed alone parts no retraction", "[report]") {
    PadProgram program;
    program.height(0.2);
    program.path({{10, 20}, {30, 20}});
    program.line("G1 E-0.8 F1800\nG1 F2400\nG1 E-0.4");
    program.line("G1 X40 Y40 F9000\nG1 E1.2 F1800");
    program.path({{40, 40}, {60, 40}});
    CHECK(surveyed(program.text()).retractions == 1);
}

TEST_CASE("a lone layer is as high as it lies", "[report]") {
    PadProgram program;
    program.height(1.2);
    program.pad(support::moved(support::rectangle(15, 10), 100, 100));
    program.height(101.1);
    program.path({{10, 20}, {14, 20}});
    CHECK(surveyed(program.text()).layer_height_mm == Approx(1.2));
}

TEST_CASE("a program that prints nothing is told with the box that it moves in", "[report]") {
    PadProgram program(2);
    program.height(5);
    program.line("G1 X10.25 Y20 F9000\nG1 X90 Y120.5");
    const std::string told = inspected(program.text());
    INFO(told);
    CHECK(says(told, "prints nothing"));
    CHECK(says(told, "x 0 to 90, y 0 to 120.5, z 5 to 5"));
    CHECK(says(told, "XY 2 decimals"));
}

TEST_CASE("the machine's own retractions take time", "[report]") {
    PadProgram without, with;
    without.height(0.2);
    with.height(0.2);
    for (int i = 0; i < 100; ++i) {
        without.path({{10.0 + i, 20}, {10.0 + i, 30}});
        with.path({{10.0 + i, 20}, {10.0 + i, 30}});
        with.line("G10");
        with.line("G11");
    }
    const double more_s = surveyed(with.text()).time_s - surveyed(without.text()).time_s;
    // 1.2 mm at 35 and at 25 mm/s, 100 times: 8.2 s, and what speeding up and stopping adds.
    CHECK(more_s > 8.2);
    CHECK(more_s < 12);
}

}  // namespace durograde
