#include <catch2/catch.hpp>
#include <cmath>

#include "grading.hpp"
#include "plans.hpp"
#include "replay.hpp"
#include "sheet.hpp"

/// What must stay the same, or change in a known way, when a sheet is written differently or moved.
namespace durograde {
namespace {

using support::Bead;
using support::Replay;

support::PlanShape full_plan() {
    support::PlanShape shape;
    shape.fans = true;
    shape.primes = true;
    return shape;
}

sheets::Style plain_style(std::uint64_t seed) {
    sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
    style.inches = style.relative_moves = style.volumetric = style.spiral = false;
    style.tools = 1;
    style.overrides = false;
    style.xy_decimals = 3;
    style.e_decimals = 5;
    return sheets::sane(style);
}

Replay graded_replay(const sheets::Style& style, const support::PlanShape& shape) {
    return support::replay(
        support::graded(support::plan_for(style, shape), sheets::make_sheet(style)));
}

/// A crossing within half the split tolerance of a line's end may be found on either side of it.
Replay without_crumbs(Replay replay) {
    std::erase_if(replay.beads, [](const Bead& bead) { return bead.length_mm() < 0.012; });
    return replay;
}

void require_same_motion(const Replay& first, const Replay& second, double place_mm, double e_mm,
                         double shift_x, double shift_y) {
    const Replay a = without_crumbs(first), b = without_crumbs(second);
    REQUIRE(a.beads.size() == b.beads.size());
    for (std::size_t i = 0; i < a.beads.size(); ++i) {
        const Bead &p = a.beads[i], &q = b.beads[i];
        CAPTURE(i, p.line, q.line, p.x0, q.x0, p.e_mm, q.e_mm);
        const bool same_place = std::abs(p.x0 + shift_x - q.x0) < place_mm &&
                                std::abs(p.y0 + shift_y - q.y0) < place_mm &&
                                std::abs(p.x1 + shift_x - q.x1) < place_mm &&
                                std::abs(p.y1 + shift_y - q.y1) < place_mm &&
                                std::abs(p.z1 - q.z1) < place_mm;
        REQUIRE(same_place);
        REQUIRE(std::abs(p.e_mm - q.e_mm) < e_mm);
        REQUIRE(p.tool == q.tool);
        REQUIRE(p.fan == q.fan);
        REQUIRE(p.acceleration == q.acceleration);
        REQUIRE(std::abs(p.feed_mm_min - q.feed_mm_min) < 0.02);
    }
}

}  // namespace

TEST_CASE("absolute and relative E give the same motion") {
    for (std::uint64_t seed = 0; seed < 80; ++seed) {
        CAPTURE(seed);
        sheets::Style style = plain_style(seed);
        style.absolute_e = false;
        const Replay relative = graded_replay(style, full_plan());
        style.absolute_e = true;
        const Replay absolute = graded_replay(style, full_plan());
        // Two roundings to the fifth decimal of E on either side.
        require_same_motion(relative, absolute, 1e-6, 2.1e-5, 0, 0);
    }
}

TEST_CASE("moving the sheet and the places together moves the output") {
    for (std::uint64_t seed = 0; seed < 80; ++seed) {
        CAPTURE(seed);
        sheets::Style style = plain_style(seed);
        const Replay here = graded_replay(style, full_plan());
        style.offset_x_mm += 8.0;
        style.offset_y_mm += 16.0;
        const Replay there = graded_replay(style, full_plan());
        // Half the split tolerance along the path, and what filament goes with it.
        require_same_motion(here, there, 0.0115, 5e-4, 8.0, 16.0);
    }
}

TEST_CASE("inches and millimetres give the same zones and amounts") {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        CAPTURE(seed);
        sheets::Style style = plain_style(seed);
        style.acceleration_changes = false;
        grade::Figures mm, inch;
        style.inches = false;
        support::graded(support::plan_for(style, full_plan()), sheets::make_sheet(style), mm);
        style.inches = true;
        style.xy_decimals = 5;
        style.e_decimals = 7;
        style = sheets::sane(style);
        support::graded(support::plan_for(style, full_plan()), sheets::make_sheet(style), inch);
        REQUIRE(mm.zones.size() == inch.zones.size());
        for (std::size_t i = 0; i < mm.zones.size(); ++i) {
            // The sheets differ by the rounding of every coordinate: 0.5 µm at each of the beads'
            // ends.
            REQUIRE(inch.zones[i].length_mm ==
                    Approx(mm.zones[i].length_mm).epsilon(2e-3).margin(0.5));
            REQUIRE(inch.zones[i].volume_mm3 ==
                    Approx(mm.zones[i].volume_mm3).epsilon(2e-3).margin(0.05));
        }
    }
}

TEST_CASE("arcs and fine polylines give the same zones") {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        CAPTURE(seed);
        sheets::Style style = plain_style(seed);
        style.full_circles = false;
        style.corner_step_mm = 0.05;
        grade::Figures lines, arcs;
        style.arcs = sheets::Arcs::none;
        support::graded(support::plan_for(style, full_plan()), sheets::make_sheet(style), lines);
        style.arcs = sheets::Arcs::center;
        support::graded(support::plan_for(style, full_plan()), sheets::make_sheet(style), arcs);
        for (std::size_t i = 0; i < lines.zones.size(); ++i) {
            REQUIRE(arcs.zones[i].length_mm ==
                    Approx(lines.zones[i].length_mm).epsilon(3e-3).margin(0.5));
        }
    }
}

TEST_CASE("how a line is written does not matter") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        CAPTURE(seed);
        sheets::Style style = plain_style(seed);
        style.crlf = style.lower_case = style.no_blanks = style.modal = style.line_numbers = false;
        style.comments = sheets::Comments::none;
        const Replay plain = graded_replay(style, full_plan());
        style.crlf = style.lower_case = style.no_blanks = style.modal = true;
        style.comments = sheets::Comments::some;
        const Replay odd = graded_replay(style, full_plan());
        REQUIRE(plain.filament_mm == Approx(odd.filament_mm).epsilon(1e-6));
        REQUIRE(plain.swaps == odd.swaps);
    }
}

}  // namespace durograde
