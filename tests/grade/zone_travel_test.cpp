#include <catch2/catch.hpp>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// Ways from the beads of one zone are taken as that zone says.
namespace durograde {
namespace {

// Four bars, each a part of its own: two firm ones on the left, two soft ones on the right.
constexpr const char* bars =
    "G21\nG90\nM83\nM104 S190\nG28\nT0\nM109 S190\nG1 Z0.2 F720\nG1 X40 Y50 F9000\n"
    "G1 X45 Y50 E1 F600\nG1 X40 Y60 F9000\nG1 X45 Y60 E1 F600\nG1 X55 Y50 F9000\n"
    "G1 X60 Y50 E1 F600\nG1 X55 Y60 F9000\nG1 X60 Y60 E1 F600\nG1 X10 Y10 F9000\n";

std::string graded_bars(const std::string& of_the_hot_zone) {
    const std::string text = support::two_tools_text(
        "retract = { length = 1.0, speed = 40 }\n", "",
        "[[zone]]\nname = \"grip\"\nwhere = \"part < 2\"\ntool = 0\n"
        "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 0\ntemperature = 230\n" +
            of_the_hot_zone +
            "[sheet]\nplace = [{ x = 42, y = 50 }, { x = 42, y = 60 }, { x = 57, y = 50 }, "
            "{ x = 57, y = 60 }]\n[strings]\ngap = 2.0\n");
    return support::graded(plan::load_text(text, "one-nozzle.toml"), bars);
}

std::size_t count_of(const std::string& text, const std::string& part) {
    std::size_t count = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
    return count;
}

}  // namespace

TEST_CASE("one nozzle draws back farther and wipes where it prints hot", "[grade]") {
    const std::string output =
        graded_bars("retract = { length = 1.5 }\nwipe = { length = 3.0 }\ntravel_speed = 100\n");
    INFO(output);
    // Two ways leave firm beads, the second to another temperature; two leave soft ones.
    CHECK(count_of(output, "G1 E-1.00000 F2400\n") == 2);
    CHECK(count_of(output, "G1 E-1.50000 F2400\n") == 2);
    const std::size_t hot = output.find("G1 E-1.50000");
    CHECK(output.rfind("S230") < hot);
    CHECK(output.substr(hot).find(
              "G1 E-1.50000 F2400\nG1 X57.000 F7200\nG1 X55.000 Y60.000 F6000\n") == 0);
    // What was drawn back comes out again, wherever the next bead lies.
    CHECK(count_of(output, "G1 E1.00000 F1500\n") == 2);
    CHECK(count_of(output, "G1 E1.50000 F1500\n") == 1);
    CHECK(output.substr(0, hot).find("F6000") == std::string::npos);
}

TEST_CASE("zones that say nothing of their travel go as their tool does", "[grade]") {
    const std::string output = graded_bars("");
    INFO(output);
    CHECK(count_of(output, "G1 E-1.00000 F2400\n") == 4);
}

}  // namespace durograde
