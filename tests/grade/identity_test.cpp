#include <catch2/catch.hpp>

#include "grading.hpp"
#include "plan/load.hpp"
#include "sheet.hpp"
#include "style.hpp"

/// Nothing asked, nothing done: invariant 10.
namespace durograde {
namespace {

plan::Plan plan_that_asks_nothing() {
    return plan::load_text(
        "format = 1\n[machine]\nreach = { x = [-50, 430], y = [-50, 390], z = [0, 340] }\n"
        "hottest = 290\n[[zone]]\nname = \"all\"\nwhere = \"true\"\ntool = \"keep\"\n",
        "identity.toml");
}

}  // namespace

TEST_CASE("a plan that asks for nothing gives back the same bytes") {
    const plan::Plan plan = plan_that_asks_nothing();
    REQUIRE(plan.asks_nothing());
    for (std::uint64_t seed = 0; seed < 400; ++seed) {
        const std::string sheet = sheets::make_sheet(sheets::style_from_seed(seed));
        CAPTURE(seed);
        REQUIRE(support::graded(plan, sheet) == sheet);
    }
}

TEST_CASE("odd bytes come back as they are") {
    const plan::Plan plan = plan_that_asks_nothing();
    const std::string long_comment = "; " + std::string(21'000, 'x') + "\n";
    const std::vector<std::string> programs = {
        "; no newline at the end",
        "\xEF\xBB\xBF; a byte-order mark\nG1 X1\n",
        "G1 X1\r\r\nG1 X2\nG1 X3\r\n",
        "; \x01\x7f\xff\xfe bytes\n  G1 X5 ; indented\n",
        "g1x1.5y2e.5f600\n",
        "M117 pads, tray 3\nsome sentence.\nM8620 S0A\nG88.1 Z0\nM842 M1 P31 S0\nG53 G90 G40\n",
        "(a comment (that nests)\n\n\n%\n",
        long_comment + "T4711\nT340\nM106 S192.333333\n",
    };
    for (const std::string& program : programs) {
        CAPTURE(program.substr(0, 60));
        REQUIRE(support::graded(plan, program) == program);
    }
}

}  // namespace durograde
