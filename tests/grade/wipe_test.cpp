#include <catch2/catch.hpp>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// Wipes along what was just printed.
namespace durograde {
namespace {

// The rim of a pad, begun in the middle of its firm left half.
constexpr const char* rim =
    "G21\nG90\nM83\nM104 S190\nG28\nM109 S190\nG1 Z0.2 F720\nG1 X40 Y50 F9000\n"
    "G1 X40 Y55 E0.3 F600\nG1 X60 Y55 E1\nG1 X60 Y45 E0.5\nG1 X40 Y45 E1\nG1 X40 Y50 E0.3\n"
    "G1 X10 Y10 F9000\n";

std::string halves() {
    return support::two_tools_text(
        "retract = { length = 1.0 }\nwipe = { length = 18.0 }\n", "",
        std::string(support::halves_text) + "[sheet]\nplace = [{ x = 50, y = 50 }]\n");
}

}  // namespace

// Both pieces in the left half are 15 mm long and join at the seam.
TEST_CASE("a wipe goes on along the piece before where both were printed in one go", "[grade]") {
    const std::string output = support::graded(plan::load_text(halves(), "halves.toml"), rim);
    INFO(output);
    // 10 mm to the corner, 5 mm to the seam, and 3 mm of the piece before.
    CHECK(output.find("G1 X40.000 F7200\nG1 Y50.000\nG1 Y47.000\n") != std::string::npos);
}

// The whole rim in one zone: back at its begin the wipe goes on over it, so that no second end lies
// beside the seam.
TEST_CASE("a wipe goes on along a path that has closed", "[grade]") {
    std::string one_zone = halves();
    one_zone.replace(one_zone.find("x <= 0"), 6, "true");
    one_zone += "[strings]\ngap = 2.0\n";
    std::string program = rim;
    program.replace(program.find("G1 X10"), 16, "G1 X80 Y50 F9000\nG1 X85 Y50 E0.3 F600");
    const std::string output = support::graded(plan::load_text(one_zone, "halves.toml"), program);
    INFO(output);
    CHECK(output.find("G1 X40 Y50 E0.3\nG1 E-1.00000 F2100\nG1 Y55.000 F7200\nG1 X53.000\n") !=
          std::string::npos);
}

}  // namespace durograde
