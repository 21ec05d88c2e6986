#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "pad_program.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "random.hpp"
#include "sheet.hpp"

/// Arcs as programs write them: rounded, and small.
namespace durograde {
namespace {

/// One of radius `radius` about (x, y), written with so many decimals. The program stands at its
/// start.
std::string arc(double x, double y, double radius, double from_rad, double sweep_rad, int decimals,
                double e) {
    const auto at = [&](double rad) {
        return support::Corner{x + radius * std::cos(rad), y + radius * std::sin(rad)};
    };
    const support::Corner begin = at(from_rad), end = at(from_rad + sweep_rad);
    return fmt::format(
        "G1 X{0:.{8}f} Y{1:.{8}f} F9000\nG{2} X{3:.{8}f} Y{4:.{8}f} I{5:.{8}f} "
        "J{6:.{8}f} E{7:.5f} F1200",
        begin.x, begin.y, sweep_rad > 0 ? 3 : 2, end.x, end.y, x - begin.x, y - begin.y, e,
        decimals);
}

plan::Plan wiping_plan(sheets::Random& random) {
    const std::string tool = fmt::format(
        "retract = {{ length = 1.2, speed = 35, restart_speed = 25 }}\n"
        "wipe = {{ length = {:.1f}, speed = 120 }}\n",
        random.stepped(2, 40, 0.1));
    return plan::load_text(
        support::two_tools_text(
            tool, tool,
            std::string(support::halves_text) +
                "[sheet]\noutside = 1\nplace = [{ x = 60, y = 52 }]\n[strings]\ngap = 1.0\n"),
        "plan.toml");
}

}  // namespace

TEST_CASE("sheets whose arcs are written with two decimals are graded", "[grade][arcs]") {
    int arcs = 0;
    for (std::uint64_t seed = 0; seed < 120; ++seed) {
        INFO("seed " << seed);
        sheets::Style style = sheets::style_from_seed(seed);
        style.inches = style.relative_moves = false;
        style.xy_decimals = 2;
        if (style.arcs == sheets::Arcs::none) style.arcs = sheets::Arcs::center;
        style = sheets::sane(style);
        if (style.arcs == sheets::Arcs::none) continue;
        plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
        if (plan.order) plan.order->reverse = seed % 2 == 0;
        const std::string before = sheets::make_sheet(style);
        const std::string after = support::graded(plan, before);
        const check::Verdict verdict = check_tests::judge(plan, before, after);
        INFO(check_tests::story(verdict));
        CHECK(check_tests::fallen(verdict).empty());
        ++arcs;
    }
    CHECK(arcs > 60);
}

TEST_CASE("arcs as small as a nozzle's hole are wiped along as the proof sees them",
          "[grade][arcs]") {
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        support::PadProgram program;
        for (int layer = 0; layer < 3; ++layer) {
            program.height(0.2 * (layer + 1));
            program.loop(support::moved(support::rectangle(12, 8), 60, 60));
            for (int i = 0; i < 6; ++i) {
                const double radius = random.stepped(3, 60, 0.01);
                const double sweep =
                    random.between(20, 350) * std::numbers::pi / 180 * (random.chance(50) ? 1 : -1);
                program.line(arc(52 + 3.0 * i, 60 + random.stepped(-30, 30, 0.1), radius,
                                 random.between(0, 6), sweep, 3, 0.05));
            }
        }
        const plan::Plan plan = wiping_plan(random);
        const std::string after = support::graded(plan, program.text());
        const check::Verdict verdict = check_tests::judge(plan, program.text(), after);
        INFO(check_tests::story(verdict));
        CHECK(check_tests::fallen(verdict).empty());
    }
}

TEST_CASE("an arc is read as well as its decimals allow, and no worse", "[grade][arcs]") {
    const plan::Plan plan = plan::load_text(
        support::two_tools_text("", "",
                                std::string(support::halves_text) +
                                    "[sheet]\noutside = 1\nplace = [{ x = 60, y = 52 }]\n"),
        "plan.toml");
    const auto is_read = [&](const std::string& line) {
        support::PadProgram program;
        program.height(0.2);
        program.loop(support::moved(support::rectangle(12, 8), 60, 60));
        program.line(line);
        try {
            const std::string after = support::graded(plan, program.text());
            CHECK(check_tests::fallen(check_tests::judge(plan, program.text(), after)).empty());
            return true;
        } catch (const Failure& failure) {
            CHECK(failure.exit() == Exit::bad_input);
            return false;
        }
    };
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        const int decimals = random.between(2, 4);
        // Up to all but a turn: the ends lie too near each other there to tell a better centre.
        const double sweep = (seed % 3 == 0 ? random.stepped(34000, 35990, 0.01)
                                            : random.stepped(500, 34000, 0.01)) *
                             std::numbers::pi / 180;
        CHECK(is_read(arc(60, 60, random.stepped(100, 600, 0.01), random.between(0, 6),
                          random.chance(50) ? sweep : -sweep, decimals, 0.3)));
    }
    // Radius 3: the end lies 0.04 mm too far out, and two decimals explain 0.0283.
    CHECK_FALSE(is_read("G1 X57.00 Y60.00 F9000\nG2 X60.00 Y63.04 I3.00 J0.00 E0.2 F1200"));
    CHECK(is_read("G1 X57.00 Y60.00 F9000\nG2 X60.00 Y63.02 I3.00 J0.00 E0.2 F1200"));
    CHECK_FALSE(is_read("G1 X57.000 Y60.000 F9000\nG2 X60.000 Y63.020 I3.000 J0.000 E0.2 F1200"));
}

}  // namespace durograde
