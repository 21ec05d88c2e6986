#include <catch2/catch.hpp>
#include <cmath>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// Sheets whose parts are found, not listed.
namespace durograde {
namespace {

/// The generator's parts look the same after half a turn.
double half_turns_apart(double a_deg, double b_deg) {
    return std::abs(std::remainder(a_deg - b_deg, 180.0));
}

}  // namespace

TEST_CASE("generated sheets are graded without a list of places", "[grade][parts]") {
    int turned = 0, in_sequence = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        INFO("seed " << seed);
        sheets::Style style = sheets::style_from_seed(seed);
        style.round_every = 0;
        style = sheets::sane(style);
        plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
        plan.sheet.places.clear();
        plan.sheet.source = plan::Sheet::Source::islands;
        const std::string before = sheets::make_sheet(style);
        grade::Figures figures;
        const std::string after = support::graded(plan, before, figures);
        const std::vector<sheets::Place> places = sheets::places(style);
        REQUIRE(figures.parts.size() == places.size());
        const bool is_round = style.width_mm == style.depth_mm;
        for (std::size_t i = 0; i < places.size(); ++i) {
            // By the written numbers' decimals and the corners' straight segments.
            CHECK(std::hypot(figures.parts[i].x_mm - places[i].x_mm,
                             figures.parts[i].y_mm - places[i].y_mm) < 0.05);
            const double turn_deg = places[i].turn_deg - places[0].turn_deg;
            if (is_round) continue;
            CHECK(half_turns_apart(figures.parts[i].turn_deg, turn_deg) < 0.6);
            turned += half_turns_apart(turn_deg, 0.0) > 0.6 ? 1 : 0;
        }
        in_sequence += style.one_by_one ? 1 : 0;
        CHECK(check_tests::fallen(check_tests::judge(plan, before, after)).empty());
    }
    CHECK(turned > 10);
    CHECK(in_sequence > 5);
}

TEST_CASE("generated sheets are graded by their own labels", "[grade][parts]") {
    int labelled = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        INFO("seed " << seed);
        sheets::Style style = sheets::style_from_seed(seed);
        if (!style.labels) continue;
        style.round_every = 0;
        style = sheets::sane(style);
        plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
        const std::string before = sheets::make_sheet(style);
        grade::Figures found, named;
        plan.sheet.places.clear();
        plan.sheet.source = plan::Sheet::Source::islands;
        const std::string by_shape = support::graded(plan, before, found);
        plan.sheet.source = plan::Sheet::Source::labels;
        const std::string by_label = support::graded(plan, before, named);
        // All objects are labelled and printed in the order of their numbers: nothing differs.
        CHECK(named.parts.size() == found.parts.size());
        CHECK(check_tests::fallen(check_tests::judge(plan, before, by_label)).empty());
        ++labelled;
    }
    CHECK(labelled > 8);
}

}  // namespace durograde
