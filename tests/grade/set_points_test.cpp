#include "grade/set_points.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "check/best_set_points.hpp"
#include "plan/material_curve.hpp"
#include "plan/set_points.hpp"

/// Set-points for wishes, against trying all there are.
namespace durograde {
namespace {

using grade::Given;
using grade::Offer;
using grade::Wish;

double square(double value) {
    return value * value;
}

/// Shore A falls from 92 at 190 °C to 62 at 250 °C, unevenly.
plan::Material card() {
    plan::Material material;
    material.points = {{190, 1.0, 1.2, 92, 0.4},
                       {213, 0.9, 1.1, 85, 0.4},
                       {231, 0.7, 0.84, 70, 0.4},
                       {250, 0.6, 0.72, 62, 0.4}};
    return material;
}

plan::Zone wish(double shore_a) {
    plan::Zone zone;
    zone.name = "zone";
    zone.hardness_shore_a = shore_a;
    return zone;
}

plan::Tool ranged(int number, double low_c, double high_c, int set_points = 1) {
    plan::Tool tool;
    tool.number = number;
    tool.temperature_c = low_c;
    tool.range_c = plan::Range{low_c, high_c};
    tool.set_points = set_points;
    return tool;
}

plan::Tool fixed(int number, double celsius) {
    plan::Tool tool;
    tool.number = number;
    tool.temperature_c = celsius;
    return tool;
}

/// Mean of the squares of what zones are off by where each goes to the nearest of `used_c`.
double cost_of(const plan::Plan& plan, const std::vector<double>& weights,
               const std::vector<double>& used_c) {
    const plan::Curve curve(plan.material->points);
    double cost = 0.0, total = 0.0;
    for (std::size_t i = 0; i < plan.zones.size(); ++i) {
        double off = std::numeric_limits<double>::infinity();
        for (const double celsius : used_c)
            off = std::min(
                off, square(curve.hardness_shore_a(celsius) - *plan.zones[i].hardness_shore_a));
        cost += weights[i] * off;
        total += weights[i];
    }
    return cost / total;
}

std::vector<check::Asked> asked_of(const plan::Plan& plan, const std::vector<double>& weights) {
    std::vector<check::Asked> asked;
    for (std::size_t i = 0; i < plan.zones.size(); ++i)
        asked.push_back({*plan.zones[i].hardness_shore_a, weights[i]});
    return asked;
}

/// Tries every set-point of every tool with every one of the others.
double least_by_trying(const plan::Plan& plan, const std::vector<double>& weights, std::size_t tool,
                       std::vector<double>& used_c) {
    if (tool == plan.tools.size()) return cost_of(plan, weights, used_c);
    const plan::Tool& own = plan.tools[tool];
    std::vector<double> choices = {own.temperature_c};
    if (own.range_c) choices = plan::set_points_within(*own.range_c);
    double least = std::numeric_limits<double>::infinity();
    for (const double first : choices) {
        for (const double second : choices) {
            if (own.set_points == 1 && second != first) continue;
            used_c.insert(used_c.end(), {first, second});
            least = std::min(least, least_by_trying(plan, weights, tool + 1, used_c));
            used_c.resize(used_c.size() - 2);
        }
    }
    return least;
}

}  // namespace

// The method is exact: nothing that trying all finds is better. Tools of one range, of others,
// fixed ones and one with two set-points.
TEST_CASE("set-points are the best there are, as trying all finds them", "[setpoints][property]") {
    CHECK(rc::check([] {
        plan::Plan plan;
        plan.material = card();
        const auto wishes = *rc::gen::inRange<std::size_t>(1, 8);
        std::vector<double> weights;
        for (std::size_t i = 0; i < wishes; ++i) {
            plan.zones.push_back(wish(62 + 0.5 * *rc::gen::inRange(0, 61)));
            weights.push_back(*rc::gen::inRange(0, 20));
        }
        if (std::all_of(weights.begin(), weights.end(), [](double w) { return w == 0; }))
            weights.front() = 1;
        const auto tools = *rc::gen::inRange(1, 5);
        for (int i = 0; i < tools; ++i) {
            const int low = 190 + 6 * *rc::gen::inRange(0, 9);
            const int kind = *rc::gen::inRange(0, 4);
            if (kind == 0) {
                plan.tools.push_back(fixed(i, low));
            } else if (kind == 1) {
                // As wide as can be tried, in steps of whole degrees.
                plan.tools.push_back(ranged(i, low, low + 4, 2));
            } else {
                // Often the same range: such tools are alike.
                plan.tools.push_back(kind == 2 ? ranged(i, 200, 208) : ranged(i, low, low + 7));
            }
        }
        std::vector<double> used_c;
        const double least = least_by_trying(plan, weights, 0, used_c);
        RC_ASSERT(std::abs(check::least_cost(plan, asked_of(plan, weights)) - least) < 1e-9);

        const auto set = grade::choose_set_points(plan, weights).set;
        RC_ASSERT(set.size() == plan.zones.size());
        const plan::Curve curve(plan.material->points);
        double cost = 0.0, total = 0.0;
        std::map<int, std::vector<double>> of_tool;
        for (const plan::SetPoint& one : set) {
            cost += weights[one.zone] * square(curve.hardness_shore_a(one.temperature_c) -
                                               *plan.zones[one.zone].hardness_shore_a);
            total += weights[one.zone];
            auto& own = of_tool[one.tool];
            if (std::find(own.begin(), own.end(), one.temperature_c) == own.end())
                own.push_back(one.temperature_c);
        }
        RC_ASSERT(std::abs(cost / total - least) < 1e-8);
        for (const auto& [number, celsius] : of_tool) {
            const plan::Tool& tool = *plan.find_tool(number);
            RC_ASSERT(celsius.size() <= static_cast<std::size_t>(tool.set_points));
            for (const double c : celsius) {
                const bool stands = tool.range_c ? c >= tool.range_c->low && c <= tool.range_c->high
                                                 : c == tool.temperature_c;
                RC_ASSERT(stands);
            }
        }
    }));
}

// By hand: 90 by 30 %, 80 by 20 % and 64 by 50 %, Shore A falls by 0.5 a degree from 92 at 190 °C.
// Two set-points: {90, 80} at 86 cost 0.3 · 16 + 0.2 · 36 = 12; {80, 64} at 68.57 cost 36.6. So 86,
// which is at 202 °C, and 64, at 246 °C. Three zones with nothing printed of them count alike.
TEST_CASE("two tools for three wishes, by hand", "[setpoints]") {
    plan::Plan plan;
    plan.material = plan::Material{};
    plan.material->points = {{190, 1.0, 1.2, 92, 0.4}, {250, 0.6, 0.72, 62, 0.4}};
    plan.zones = {wish(90), wish(80), wish(64)};
    plan.tools = {ranged(0, 190, 250), ranged(1, 190, 250)};
    CHECK(grade::rests_on_volumes(plan));
    const auto set = grade::choose_set_points(plan, std::vector<double>{30, 20, 50}).set;
    CHECK(set == std::vector<plan::SetPoint>{{0, 0, 202}, {1, 0, 202}, {2, 1, 246}});
    CHECK(check::least_cost(plan, asked_of(plan, {30, 20, 50})) == Approx(12));
    const auto alike = grade::choose_set_points(plan, std::vector<double>{0, 0, 0}).set;
    CHECK(alike == std::vector<plan::SetPoint>{{0, 0, 204}, {1, 0, 204}, {2, 1, 246}});
    // A third tool, or two set-points of one, meet all three: then no volume counts.
    plan.tools.push_back(ranged(2, 190, 250));
    CHECK_FALSE(grade::rests_on_volumes(plan));
    CHECK(grade::choose_set_points(plan, {}).set ==
          std::vector<plan::SetPoint>{{0, 0, 194}, {1, 1, 214}, {2, 2, 246}});
    plan.tools = {ranged(0, 190, 250, 3)};
    CHECK(grade::choose_set_points(plan, {}).set ==
          std::vector<plan::SetPoint>{{0, 0, 194}, {1, 0, 214}, {2, 0, 246}});
}

TEST_CASE("no set-point is spent where it gains nothing", "[setpoints]") {
    plan::Plan plan;
    plan.material = card();
    plan.tools = {ranged(0, 190, 250), ranged(1, 190, 250), fixed(2, 231)};
    plan.zones = {wish(70), wish(70), wish(92)};
    const auto set = grade::choose_set_points(plan, {}).set;
    CHECK(set == std::vector<plan::SetPoint>{{0, 2, 231}, {1, 2, 231}, {2, 0, 190}});
}

TEST_CASE("a tool with a range is set to whole degrees and to its ends", "[setpoints]") {
    CHECK(plan::set_points_within({190.5, 193}) == std::vector<double>{190.5, 191, 192, 193});
    CHECK(plan::set_points_within({190, 191.5}) == std::vector<double>{190, 191, 191.5});
    CHECK(plan::set_points_within({200, 200}) == std::vector<double>{200});
    CHECK(plan::set_points_within({200.2, 200.4}) == std::vector<double>{200.2, 200.4});
}

}  // namespace durograde
