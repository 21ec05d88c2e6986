#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "grading.hpp"
#include "hardness_pads.hpp"
#include "plan/load.hpp"
#include "sample_plan.hpp"
#include "text/diagnostic.hpp"

/// What a wish that is not met leads to, and that it goes when the advice is followed.
namespace durograde {
namespace {

using namespace hardness_tests;
using plan_test::replaced;

std::vector<Diagnostic> unmet(const std::string& text) {
    grade::Figures figures;
    support::graded(plan::load_text(text, "pads.toml"), two_pads(), figures);
    std::vector<Diagnostic> found;
    for (const Diagnostic& warning : figures.warnings)
        if (warning.code == "unmet-hardness") found.push_back(warning);
    return found;
}

}  // namespace

// 90 and 80 share 86, at 202 °C, as set_points_test has it by hand.
TEST_CASE("two wishes of one tool are told, and one more tool meets them", "[advice][hardness]") {
    const std::string range = "range = [190, 250]";
    const std::string text = plan_text(tool(0, range) + tool(1, range));
    const auto warnings = unmet(text);
    REQUIRE(warnings.size() == 2);
    CHECK(
        warnings[0].text ==
        "zone `grip` asks for Shore A 90 and is given 86.0, 4.0 too soft: tool 0 stands at 202 °C "
        "for it, as for `blend`");
    CHECK(
        warnings[1].text ==
        "zone `blend` asks for Shore A 80 and is given 86.0, 6.0 too hard: tool 0 stands at 202 °C "
        "for it, as for `grip`");
    CHECK(warnings[0].mend ==
          "one more tool with range = [190, 250], or as many more `set_points` of one, meets all "
          "that can be met: at 194, 214, 246 °C");
    CHECK(warnings[0].place.line > 0);
    CHECK(unmet(plan_text(tool(0, range) + tool(1, range) + tool(2, range))).empty());
    CHECK(unmet(plan_text(tool(0, range) + tool(1, range + "\nset_points = 2"))).empty());
}

TEST_CASE("a wish that no tool reaches is told with the range that does", "[advice][hardness]") {
    const std::string range = "range = [190, 236]";
    const std::string text = plan_text(tool(0, range) + tool(1, range) + tool(2, range));
    const auto warnings = unmet(text);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].text ==
          "zone `pad` asks for Shore A 64 and is given 69.0, 5.0 too hard: tool 2 stands at 236 °C "
          "for it");
    CHECK(warnings[0].mend == "let a tool reach 246 °C: range = [190, 246] for tool 2");
    CHECK(
        unmet(plan_text(tool(0, range) + tool(1, range) + tool(2, "range = [190, 246]"))).empty());
}

TEST_CASE("a wish beyond what the machine allows is told with what it allows",
          "[advice][hardness]") {
    const std::string range = "range = [190, 236]";
    const std::string text = replaced(plan_text(tool(0, range) + tool(1, range) + tool(2, range)),
                                      "hottest = 280", "hottest = 236");
    const auto warnings = unmet(text);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].mend ==
          "it takes 246 °C, and [machine] allows 236 °C, where the material has Shore A 69.0: ask "
          "for that");
    CHECK(unmet(replaced(text, "hardness = 64", "hardness = 69")).empty());
}

TEST_CASE("a wish that stands between fixed tools is told with the temperature it takes",
          "[advice][hardness]") {
    const std::string text = plan_text(tool(0, "temperature = 194") + tool(1, "temperature = 246"));
    const auto warnings = unmet(text);
    REQUIRE(warnings.size() == 1);
    CHECK(warnings[0].mend == "give a tool temperature = 214, or a `range` that holds it");
    CHECK(unmet(plan_text(tool(0, "temperature = 194") + tool(1, "temperature = 246") +
                          tool(2, "temperature = 214")))
              .empty());
}

}  // namespace durograde
