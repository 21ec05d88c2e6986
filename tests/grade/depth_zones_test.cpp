#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <variant>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// Sheets whose zones go by the depth below the parts' own surface.
namespace durograde {
namespace {

grammar::Condition condition(const std::string& text) {
    return std::get<grammar::Condition>(grammar::parse_condition(text));
}

plan::Plan by_depth(const sheets::Style& style, std::uint64_t seed, double skin_mm) {
    plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
    plan.zones.front().where = condition("depth > " + std::to_string(skin_mm));
    if (plan.zones.size() > 2) plan.zones[1].where = condition("depth > 0.4 and height < 2.5");
    plan.depth.limit_mm = 2.0;
    plan.depth.open_cavities = seed % 2 == 0;
    return plan;
}

}  // namespace

TEST_CASE("zones by depth are graded and proven on generated sheets", "[grade][depth]") {
    int graded = 0, rejected = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        INFO("seed " << seed);
        sheets::Style style = sheets::style_from_seed(seed);
        style = sheets::sane(style);
        if (style.spiral) continue;
        const std::string before = sheets::make_sheet(style);
        const plan::Plan plan = by_depth(style, seed, 0.55);
        grade::Figures figures;
        const std::string after = support::graded(plan, before, figures);
        CHECK(check_tests::fallen(check_tests::judge(plan, before, after)).empty());
        graded += figures.zones.front().length_mm > 0 ? 1 : 0;
        // Graded by another depth: the proof measures for itself.
        const std::string other = support::graded(by_depth(style, seed, 0.95), before);
        rejected += check_tests::fallen(check_tests::judge(plan, before, other)).empty() ? 0 : 1;
    }
    CHECK(graded > 8);
    CHECK(rejected > 6);
}

TEST_CASE("a program whose height changes along its beads has no depth", "[grade][depth]") {
    sheets::Style style = sheets::style_from_seed(1);
    style.spiral = true;
    style = sheets::sane(style);
    const std::string before = sheets::make_sheet(style);
    try {
        support::graded(by_depth(style, 1, 0.5), before);
        FAIL("it was graded");
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_input);
        CHECK(failure.diagnostics().front().code == "no-flat-layers");
    }
}

TEST_CASE("a zone thinner than asked for is warned of, with its place", "[grade][thickness]") {
    sheets::Style style = sheets::style_from_seed(2);
    style.spiral = false;
    style = sheets::sane(style);
    plan::Plan plan = by_depth(style, 2, 0.55);
    for (plan::Zone& zone : plan.zones) zone.thinnest_mm.reset();
    plan.zones.back().thinnest_mm = 10.0;
    grade::Figures figures;
    support::graded(plan, sheets::make_sheet(style), figures);
    REQUIRE(figures.zones.back().thinnest.has_value());
    CHECK_FALSE(figures.zones.front().thinnest.has_value());
    const auto is_thin = [](const Diagnostic& warning) { return warning.code == "thin-zone"; };
    const auto found = std::find_if(figures.warnings.begin(), figures.warnings.end(), is_thin);
    REQUIRE(found != figures.warnings.end());
    CHECK(found->text.find(plan.zones.back().name) != std::string::npos);
    const region::Thinnest& thin = *figures.zones.back().thinnest;
    const plan::PartPlace& place = plan.sheet.places.at(static_cast<std::size_t>(thin.part));
    CHECK(std::hypot(thin.at.x - place.x_mm, thin.at.y - place.y_mm) <
          std::hypot(style.width_mm, style.depth_mm) / 2);
}

}  // namespace durograde
