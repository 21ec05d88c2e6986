#include <catch2/catch.hpp>

#include "plans.hpp"
#include "sheet_case.hpp"

/// No undamaged output is rejected, whatever sheet and plan it comes from.
namespace durograde::check_tests {
namespace {

void accepts(std::uint64_t first, std::uint64_t count) {
    for (std::uint64_t seed = first; seed < first + count; ++seed) {
        const sheets::Style style = sheets::style_from_seed(seed);
        const SheetCase c = make_case(style, seed);
        const check::Verdict verdict = judge(c.plan, c.before, c.after);
        INFO("seed " << seed << ", made-up plan\n" << story(verdict));
        CHECK(verdict.held());
        const plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
        const check::Verdict other = judge(plan, c.before, support::graded(plan, c.before));
        INFO("seed " << seed << ", support's plan\n" << story(other));
        CHECK(other.held());
    }
}

}  // namespace

TEST_CASE("check: outputs of generated sheets are accepted") {
    accepts(0, 150);
}

// Each was rejected once: what it is rejected for is told where it was mended.
TEST_CASE("check: outputs that were rejected once are accepted") {
    for (const std::uint64_t seed : std::initializer_list<std::uint64_t>{
             1039, 1072, 1073, 1340, 1361, 1563, 1569, 1753, 1761,  1883,  1944,  3711,
             4091, 5372, 5548, 6053, 6093, 6345, 7258, 7396, 10400, 10596, 10867, 11769})
        accepts(seed, 1);
}

// A thousand sheets, two plans each: about a minute.
TEST_CASE("thorough: outputs of 2,000 generated pairs are accepted", "[.][thorough]") {
    accepts(1000, 1000);
}

}  // namespace durograde::check_tests
