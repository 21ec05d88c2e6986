#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "pad_program.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "replay.hpp"

/// Boundaries that interlock, from the plan's text to the graded program: places worked by hand.
namespace durograde {
namespace {

/// Tool 0 is firm (colder) where `where` holds, tool 1 soft elsewhere, on a pad that is turned.
plan::Plan plan_of(double interlock_mm, const char* where = "x < 1.013", double turn_deg = 90) {
    const std::string rest = fmt::format(
        "[[zone]]\nname = \"firm\"\nwhere = \"{}\"\ntool = 0\n"
        "[[zone]]\nname = \"soft\"\nwhere = \"true\"\ntool = 1\n"
        "[sheet]\nplace = [{{ x = 90, y = 110, turn = {} }}]\n[split]\ninterlock = {}\n",
        where, turn_deg, interlock_mm);
    return plan::load_text(support::two_tools_text("", "", rest), "interlock.toml");
}

/// Five layers of a pad of 20 mm by 12 mm about its place, long along its own x.
std::string pad(double turn_deg = 90) {
    support::PadProgram program;
    for (int layer = 1; layer <= 5; ++layer) {
        program.height(0.24 * layer);
        program.pad(support::moved(support::rectangle(10, 6), 90, 110, turn_deg));
    }
    return program.text();
}

/// How far along y the firm beads of each height reach.
std::map<double, double> reach_of(const std::string& program) {
    std::map<double, double> reach;
    for (const support::Bead& bead : support::replay(program).beads) {
        if (bead.tool != 0) continue;
        const auto [at, is_new] = reach.try_emplace(bead.z1, -1e9);
        at->second = std::max({at->second, bead.y0, bead.y1});
    }
    return reach;
}

}  // namespace

TEST_CASE("boundaries interlock by as much as the plan says, to and fro", "[grade][interlock]") {
    // The part's own x runs along y from 110: the boundary is 111.013, the firm side gains first.
    const std::map<double, double> reach = reach_of(support::graded(plan_of(0.3), pad()));
    REQUIRE(reach.size() == 5);
    int layer = 0;
    for (const auto& [z_mm, y_mm] : reach) {
        CAPTURE(z_mm, layer);
        CHECK(y_mm == Approx(layer % 2 == 0 ? 111.313 : 110.713).margin(0.002));
        ++layer;
    }
    for (const auto& [z_mm, y_mm] : reach_of(support::graded(plan_of(0.0), pad())))
        CHECK(y_mm == Approx(111.013).margin(0.002));
}

TEST_CASE("check: an output graded without the interlock, or with another, falls",
          "[grade][interlock]") {
    const std::string before = pad();
    const plan::Plan plan = plan_of(0.3);
    CHECK(check_tests::fallen(check_tests::judge(plan, before, support::graded(plan, before)))
              .empty());
    for (const double other_mm : {0.0, 0.15, 0.6}) {
        CAPTURE(other_mm);
        const auto verdict =
            check_tests::judge(plan, before, support::graded(plan_of(other_mm), before));
        const check::Finding& tool = check_tests::finding(verdict, "right tool");
        CHECK_FALSE(tool.held);
        CHECK(tool.worst == Approx(std::abs(0.3 - other_mm)).margin(0.01));
    }
}

TEST_CASE("depths that interlock beyond what is measured are refused", "[grade][interlock]") {
    const auto code = [](double interlock_mm, const char* where) {
        try {
            plan_of(interlock_mm, where);
        } catch (const Failure& failure) {
            return failure.diagnostics().front().code;
        }
        return std::string("none");
    };
    // As deep as the plan measures where it says nothing.
    const double limit_mm = plan::Depth{}.limit_mm;
    CHECK(code(0.0, fmt::format("depth > {}", limit_mm - 0.1).c_str()) == "none");
    CHECK(code(0.3, fmt::format("depth > {}", limit_mm - 0.1).c_str()) == "beyond-limit");
    CHECK(code(0.3, fmt::format("depth > {}", limit_mm - 0.4).c_str()) == "none");
}

}  // namespace durograde
