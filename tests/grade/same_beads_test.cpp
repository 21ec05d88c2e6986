#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grading.hpp"
#include "plans.hpp"
#include "replay.hpp"
#include "sheet.hpp"

/// The invariants of a graded program over generated sheets, seen by a reader that shares no code
/// with the library (tests/support/replay.hpp).
namespace durograde {
namespace {

using support::Bead;
using support::Replay;

struct Case {
    sheets::Style style;
    support::PlanShape shape;
    plan::Plan plan;
    std::string before, after;
    grade::Figures figures;
};

Case make_case(std::uint64_t seed) {
    Case c;
    c.style = sheets::sane(sheets::style_from_seed(seed));
    c.shape = support::plan_shape_from_seed(seed);
    c.plan = support::plan_for(c.style, c.shape);
    c.before = sheets::make_sheet(c.style);
    c.after = support::graded(c.plan, c.before, c.figures);
    return c;
}

/// Moments of the bead length over place: they change when a bead moves, not when it is cut.
std::array<double, 4> moments(const Replay& replay) {
    std::array<double, 4> sums{};
    for (const Bead& b : replay.beads) {
        if (b.priming) continue;
        const double length = b.length_mm();
        const double x = (b.x0 + b.x1) / 2, y = (b.y0 + b.y1) / 2;
        sums[0] += length;
        sums[1] += length * x;
        sums[2] += length * y;
        const double dx = b.x1 - b.x0, dy = b.y1 - b.y0;
        // Integral of x·y along the segment, exact under any cutting.
        sums[3] += length * (x * y + dx * dy / 12);
    }
    return sums;
}

constexpr std::uint64_t seeds = 300;

}  // namespace

TEST_CASE("every bead of the input is printed once and in its place") {
    for (std::uint64_t seed = 0; seed < seeds; ++seed) {
        const Case c = make_case(seed);
        const Replay before = support::replay(c.before), after = support::replay(c.after);
        CAPTURE(seed);
        // Each cut and each rounded end moves at most half a unit of the third decimal (mm).
        const double slack = 1e-3 * static_cast<double>(after.beads.size()) + 1e-6;
        const auto b = moments(before), a = moments(after);
        REQUIRE(std::abs(a[0] - b[0]) < slack * 0.1 + 0.01);
        REQUIRE(std::abs(a[1] - b[1]) < slack * 40);
        REQUIRE(std::abs(a[2] - b[2]) < slack * 40);
        REQUIRE(std::abs(a[3] - b[3]) < slack * 4000);
    }
}

TEST_CASE("no bead is printed while filament is drawn back, and none cold or too hot") {
    for (std::uint64_t seed = 0; seed < seeds; ++seed) {
        const Case c = make_case(seed);
        const Replay after = support::replay(c.after);
        CAPTURE(seed);
        for (const Bead& bead : after.beads) {
            CAPTURE(bead.line);
            REQUIRE_FALSE(bead.retracted);
            if (bead.set_point_c > 0) REQUIRE(bead.set_point_c >= 170);
        }
        for (const auto& [tool, hottest] : after.hottest_c) REQUIRE(hottest <= 290);
        for (const auto& [tool, set_point] : after.set_points_c) {
            CAPTURE(tool);
            REQUIRE(set_point == 0);
        }
    }
}

}  // namespace durograde
