#include "heat/history.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "heat/heater.hpp"
#include "random.hpp"

namespace durograde {
namespace {

using heat::HeatPoint;
using heat::History;

constexpr plan::Heater usual{4.0, 0.010, 25.0};

/// On the straight line between the points.
double drawn_c(const std::vector<HeatPoint>& points, double time_s) {
    const auto later =
        std::upper_bound(points.begin(), points.end(), time_s,
                         [](double time, const HeatPoint& point) { return time < point.time_s; });
    REQUIRE(later != points.begin());
    if (later == points.end()) return points.back().temperature_c;
    const HeatPoint& a = *std::prev(later);
    const double share = (time_s - a.time_s) / (later->time_s - a.time_s);
    return a.temperature_c + share * (later->temperature_c - a.temperature_c);
}

struct Change {
    double time_s = 0.0, set_point_c = 0.0, temperature_c = 0.0;
};

/// Set-points of a print, and the temperatures that they lead to.
std::vector<Change> random_changes(sheets::Random& random, const plan::Heater& heater, int count,
                                   int off_percent) {
    std::vector<Change> changes{{0.0, 0.0, heater.ambient_c}};
    for (int i = 0; i < count; ++i) {
        const Change& last = changes.back();
        const double seconds = random.between(0, 300);
        const double now_c =
            heat::temperature_after(heater, last.temperature_c, last.set_point_c, seconds);
        const double set_c = random.chance(off_percent) ? 0 : random.between(150, 260);
        changes.push_back({last.time_s + seconds, set_c, now_c});
    }
    return changes;
}

}  // namespace

// From 25 °C: ln(400 / (425 − T)) / 0.01 s up to T.
TEST_CASE("a history holds set-points, the curve's turns and samples between", "[heat]") {
    History history(usual);
    history.change(10, 50, 25);
    history.change(100, 0, 50);
    history.end(200);
    const std::vector<HeatPoint>& points = history.points();
    CHECK_FALSE(history.is_thinned());
    REQUIRE(points.size() >= 7);
    CHECK((points[0].time_s == 0 && points[0].set_point_c == 0 && points[0].temperature_c == 25));
    CHECK((points[1].time_s == 10 && points[1].set_point_c == 50));
    CHECK((points[2].temperature_c == 35 && points[2].time_s == Approx(10 + 2.5318)));
    CHECK((points[3].temperature_c == 45 && points[3].time_s == Approx(10 + 5.1293)));
    CHECK((points[4].temperature_c == 50 && points[4].time_s == Approx(10 + 6.4539)));
    CHECK((points[5].time_s == 100 && points[5].set_point_c == 0));
    CHECK(points.back().time_s == 200);
    CHECK(points.back().temperature_c == Approx(25 + 25 * std::exp(-1)));
}

TEST_CASE("a level is one line, and a jump two points of one time", "[heat]") {
    History history(usual);
    history.change(0, 200, 200);
    history.change(50, 200, 200);
    history.change(90, 200, 200);
    history.end(100);
    const std::vector<HeatPoint>& points = history.points();
    REQUIRE(points.size() == 3);
    CHECK((points[0].time_s == 0 && points[0].temperature_c == 25));
    CHECK((points[1].time_s == 0 && points[1].temperature_c == 200));
    CHECK((points[2].time_s == 100 && points[2].set_point_c == 200));
}

TEST_CASE("lines between the points of a history follow the heater within a degree", "[heat]") {
    REQUIRE(rc::check("random set-points", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const plan::Heater heater{random.between(30, 80) * 0.1, random.between(3, 12) * 1e-3, 25};
        const std::vector<Change> changes = random_changes(random, heater, 20, 20);
        History history(heater);
        for (const Change& change : changes) {
            history.change(change.time_s, change.set_point_c, change.temperature_c);
        }
        history.end(changes.back().time_s + 100);
        const std::vector<HeatPoint>& points = history.points();
        RC_ASSERT(!history.is_thinned());
        RC_ASSERT(std::is_sorted(points.begin(), points.end(),
                                 [](const auto& a, const auto& b) { return a.time_s < b.time_s; }));
        for (const Change& change : changes) {
            const double later_s = change.time_s + random.between(0, 100);
            const auto next =
                std::find_if(changes.begin(), changes.end(),
                             [&](const Change& other) { return other.time_s > change.time_s; });
            if (next != changes.end() && later_s >= next->time_s) continue;
            // Of several at one time the last one counts.
            if (&change != &changes.back() && (&change + 1)->time_s == change.time_s) continue;
            const double real_c = heat::temperature_after(
                heater, change.temperature_c, change.set_point_c, later_s - change.time_s);
            RC_ASSERT(std::abs(drawn_c(points, later_s) - real_c) < 1.0);
        }
    }));
}

TEST_CASE("the history of a long print is bounded, and keeps its extremes", "[heat]") {
    sheets::Random random(3);
    const std::vector<Change> changes = random_changes(random, usual, 20'000, 0);
    History history(usual);
    double coldest_c = 1000, hottest_c = 0;
    constexpr double warm_s = 1000;  // it begins cold
    for (const Change& change : changes) {
        history.change(change.time_s, change.set_point_c, change.temperature_c);
        REQUIRE(history.points().size() <= History::most_points);
        if (change.time_s < warm_s) continue;
        coldest_c = std::min(coldest_c, change.temperature_c);
        hottest_c = std::max(hottest_c, change.temperature_c);
    }
    history.end(changes.back().time_s);
    CHECK(history.is_thinned());
    const std::vector<HeatPoint>& points = history.points();
    CHECK(points.size() > History::most_points / 4);
    CHECK(points.front().time_s == 0);
    CHECK(points.back().time_s == changes.back().time_s);
    const auto hottest = std::max_element(points.begin(), points.end(), [](auto& a, auto& b) {
        return a.temperature_c < b.temperature_c;
    });
    const auto warm = std::find_if(points.begin(), points.end(),
                                   [](auto& point) { return point.time_s >= warm_s; });
    const auto coldest = std::min_element(
        warm, points.end(), [](auto& a, auto& b) { return a.temperature_c < b.temperature_c; });
    CHECK(hottest->temperature_c == hottest_c);
    CHECK(coldest->temperature_c == coldest_c);
    // Each is a moment of the print.
    for (std::size_t i = 1; i < points.size(); ++i)
        REQUIRE(points[i].time_s >= points[i - 1].time_s);
}

}  // namespace durograde
