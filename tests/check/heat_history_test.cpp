#include <catch2/catch.hpp>
#include <cmath>
#include <map>
#include <vector>

#include "check/reader.hpp"
#include "grading.hpp"
#include "pair.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// The heat that a report tells of against the graded program, read by the checker's reader.
namespace durograde {
namespace {

/// Set-points of each tool in the order of the lines, each once in a row.
std::map<int, std::vector<double>> said(const plan::Plan& plan, const std::string& program) {
    const check_tests::TextFile file(program);
    check::Reader reader(plan, file.fd(), "text");
    std::map<int, std::vector<double>> set;
    while (reader.next()) {
        const check::Act& act = reader.act();
        if (act.kind != check::Kind::heat || !act.sets) continue;
        std::vector<double>& list = set[act.tool];
        if (list.empty() || list.back() != act.celsius) list.push_back(act.celsius);
    }
    return set;
}

std::vector<double> told(const std::vector<heat::HeatPoint>& points) {
    std::vector<double> set;
    for (const heat::HeatPoint& point : points) {
        const bool is_first = set.empty() && point.set_point_c == 0;
        if (!is_first && (set.empty() || set.back() != point.set_point_c))
            set.push_back(point.set_point_c);
    }
    return set;
}

}  // namespace

TEST_CASE("check: the heat in the report is what the graded program says") {
    int scheduled = 0;
    for (std::uint64_t seed = 0; seed < 120; ++seed) {
        const sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
        support::PlanShape shape = support::plan_shape_from_seed(seed);
        const plan::Plan plan = support::plan_for(style, shape);
        grade::Figures figures;
        const std::string after = support::graded(plan, sheets::make_sheet(style), figures);
        CAPTURE(seed);
        CHECK(figures.schedules_heat == plan.heat.has_value());
        if (figures.schedules_heat) ++scheduled;
        auto set = said(plan, after);
        for (const plan::Tool& tool : plan.tools) {
            const grade::ToolFigures& found = figures.tools.at(tool.number);
            CAPTURE(tool.number);
            REQUIRE_FALSE(found.heat_is_thinned);
            REQUIRE(told(found.heat) == set[tool.number]);
            CHECK(found.heat.back().time_s == Approx(figures.after_s));
            for (const heat::HeatPoint& point : found.heat) {
                REQUIRE(point.temperature_c <= plan.machine.hottest_c);
                REQUIRE(point.temperature_c >= tool.heater.ambient_c - 1e-9);
            }
        }
    }
    CHECK(scheduled > 30);
}

}  // namespace durograde
