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

// What stands before the first bead that is graded, such as a skirt, is printed as well: the first
// new way from there is wiped along it.
TEST_CASE("the way from what stands as it is to a part is wiped", "[grade]") {
    const std::string plan = halves() + "outside = \"keep\"\n[strings]\ngap = 2.0\n";
    const std::string begin =
        "G21\nG90\nM83\nM104 S190\nG28\nT0\nM109 S190\nG1 Z0.2 F720\nG1 X10 Y10 F9000\n";
    const std::string parts =
        "G1 X60 Y50 F9000\nG1 X50.001 E0.5 F600\nG1 X49.9 Y50.5 F9000\nG1 X40 E0.5\n";
    const auto graded = [&](const std::string& skirt) {
        return support::graded(plan::load_text(plan, "halves.toml"), begin + skirt + parts);
    };
    // 4 mm of the last line, 10 mm of the one before, and 4 mm of the first.
    const std::string open = graded("G1 X30 E1 F600\nG1 Y20 E0.5\nG1 X26 E0.2\n");
    INFO(open);
    CHECK(open.find("G1 X26 E0.2\nG1 E-1.00000 F2100\nG1 X30.000 F7200\nG1 Y10.000\n"
                    "G1 X26.000\nG1 X49.900 Y50.500 F9000\n") != std::string::npos);
    // A loop that has closed is wiped onward.
    const std::string loop = graded("G1 X30 E1 F600\nG1 Y20 E0.5\nG1 X10 E1\nG1 Y10 E0.5\n");
    INFO(loop);
    CHECK(loop.find("G1 Y10 E0.5\nG1 E-1.00000 F2100\nG1 X28.000 F7200\n") != std::string::npos);
    // From where the nozzle has gone since, there is nothing to wipe along.
    const std::string gone = graded("G1 X30 E1 F600\nG1 X31 Y12 F9000\nM118 begin\nM204 S500\n");
    INFO(gone);
    CHECK(gone.find("M204 S500\nG1 E-1.00000 F2100\nG1 X49.900 Y50.500 F9000\n") !=
          std::string::npos);
}

}  // namespace durograde
