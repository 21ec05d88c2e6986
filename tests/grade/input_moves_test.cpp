#include <catch2/catch.hpp>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// What the input does itself against strings is not done twice.
namespace durograde {
namespace {

std::string pads(const std::string& retraction_mm) {
    const std::string guards = "retract = { length = " + retraction_mm +
                               " }\nwipe = { length = 2.0 }\ncoast = 0.3\nhop = 0.4\n";
    return support::two_tools_text(
        guards, guards,
        "[[zone]]\nname = \"bar\"\nwhere = \"true\"\ntool = 0\n"
        "[sheet]\nplace = [{ x = 45, y = 50 }, { x = 95, y = 50 }]\n[strings]\ngap = 2.0\n");
}

std::string graded(const std::string& between, const std::string& retraction_mm = "1.0") {
    const std::string program =
        "G21\nG90\nM83\nM104 S190\nG28\nT0\nM109 S190\nG1 Z0.2 F720\n"
        "G1 X40 Y50 F9000\nG1 X49 Y50 E1 F600\n" +
        between + "G1 X90 Y50 E1 F600\nG1 X99 Y50 E1 F600\n";
    return support::graded(plan::load_text(pads(retraction_mm), "pads.toml"), program);
}

std::size_t count(const std::string& text, const std::string& what) {
    std::size_t times = 0;
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1))
        ++times;
    return times;
}

}  // namespace

// The whole way stands: retract, wipe, hop, travel, down, restart.
TEST_CASE("a way that the input protects stands as it is", "[grade]") {
    const std::string way =
        "G1 E-0.8 F1800\nG1 X47 Y50 F7200\nG1 Z0.6 F720\nG1 X88 Y50 F9000\nG1 Z0.2 F720\nG1 E0.8 "
        "F1800\n";
    const std::string output = graded(way, "0.8");
    INFO(output);
    CHECK(output.find(way) != std::string::npos);
    // One more at the end: the last travel is always protected.
    CHECK(count(output, " E-") + count(output, "G1 E-") == 2 * 2);
}

// Drawn back less than the tool does, or not wiped: the plan's own protection takes its place.
TEST_CASE("a way that the input protects less than the plan does is made anew", "[grade]") {
    const std::string travel = "G1 Z0.6 F720\nG1 X88 Y50 F9000\nG1 Z0.2 F720\nG1 E0.8 F1800\n";
    for (const std::string& way :
         {"G1 E-0.8 F1800\nG1 X47 Y50 F7200\n" + travel, "G1 E-0.8 F1800\n" + travel}) {
        const std::string output = graded(way, way.size() > 75 ? "1.0" : "0.8");
        INFO(output);
        CHECK(output.find("E-0.8 F1800") == std::string::npos);
        CHECK(output.find("E0.8 F1800") == std::string::npos);
        CHECK(count(output, "F7200") == 1);
    }
}

TEST_CASE("a way that the input leaves bare is protected once", "[grade]") {
    const std::string output = graded("G1 X88 Y50 F9000\n");
    INFO(output);
    CHECK(count(output, "G1 E-1.00000") == 2);
    // Coasted: the last 0.3 mm³ of the bar, 9 mm with 1 mm of filament.
    CHECK(output.find("G1 X47.877 Y50.000 E0.87527") != std::string::npos);
}

TEST_CASE("a stroke that the input lets coast is not cut short again", "[grade]") {
    // Its own order stands but for the retraction that is too late for the way before it.
    const std::string output = graded(
        "G1 X49.8 Y50 F600\nG1 X60 Y50 F9000\nG1 E-0.8 F1800\nG1 X88 Y50 "
        "F9000\nG1 E0.8 F1800\n");
    INFO(output);
    CHECK(output.find("G1 X49 Y50 E1 F600") != std::string::npos);
    CHECK(count(output, "G1 E-1.00000") == 2);
    CHECK(output.find("E-0.8") == std::string::npos);
}

}  // namespace durograde
