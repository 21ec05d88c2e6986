#include <catch2/catch.hpp>

#include "plan/load.hpp"
#include "plans.hpp"

/// What zones say of the ways from their beads to others.
namespace durograde {
namespace {

plan::Plan two_zones(const std::string& first, const std::string& second) {
    return plan::load_text(
        support::two_tools_text("retract = { length = 1.0, speed = 40 }\nhop = 0.4\n", "",
                                "[[zone]]\nname = \"grip\"\nwhere = \"x <= 0\"\n" + first +
                                    "[[zone]]\nname = \"pad\"\nwhere = \"true\"\n" + second +
                                    "[sheet]\nplace = [{ x = 50, y = 50 }]\n"),
        "zones.toml");
}

std::string codes_of(const std::string& first, const std::string& second) {
    try {
        (void)two_zones(first, second);
    } catch (const Failure& failure) {
        std::string codes;
        for (const Diagnostic& diagnostic : failure.diagnostics())
            codes += diagnostic.code + " " + diagnostic.text + "\n";
        return codes;
    }
    return "";
}

}  // namespace

TEST_CASE("what a zone leaves out of its travel is as its tool has it", "[plan]") {
    const plan::Plan plan = two_zones(
        "tool = 0\n", "tool = 0\ntemperature = 230\nretract = { length = 1.5 }\nhop = 0\n");
    const plan::Tool& tool = plan.tools[0];
    const plan::Travel& cold = plan.travel(tool, 190);
    CHECK((cold.retract->length_mm == 1.0 && cold.hop_mm == 0.4));
    const plan::Travel& hot = plan.travel(tool, 230);
    CHECK((hot.retract->length_mm == 1.5 && hot.retract->speed_mm_s == 40 && !hot.hop_mm));
    // Another tool at the same temperature, and another temperature of the same tool.
    CHECK_FALSE(plan.travel(plan.tools[1], 230).retract);
    CHECK(plan.travel(tool, 210).retract->length_mm == 1.0);
}

TEST_CASE("zones of one tool at one temperature agree on their travel", "[plan]") {
    CHECK(codes_of("tool = 0\nhop = 0.4\n", "tool = 0\n").empty());  // which the tool has already
    CHECK(codes_of("tool = 0\nhop = 0.2\n", "tool = 0\ntemperature = 230\n").empty());
    const std::string both = codes_of("tool = 0\nwipe = { length = 2 }\n", "tool = 0\n");
    CHECK(both.find("conflict zones `grip` and `pad`") == 0);
    CHECK(both.find("not one `wipe`") != std::string::npos);
}

TEST_CASE("a zone that keeps the input's tool says nothing of its travel", "[plan]") {
    const std::string kept = codes_of("tool = \"keep\"\ncoast = 0.2\n", "tool = 0\n");
    CHECK(kept.find("conflict [[zone]] keeps the input's tool and has `coast`") !=
          std::string::npos);
}

TEST_CASE("how often filament may be drawn back is said of tools alone", "[plan]") {
    const std::string said = codes_of("tool = 0\nretract = { repeats = 3 }\n", "tool = 1\n");
    CHECK(said.find("unknown-key") == 0);
}

}  // namespace durograde
