#include "grade/sequence.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>

#include "grade/swaps.hpp"
#include "random.hpp"

/// The order of stations over the layers that are known ahead: dynamic programming over subsets
/// (Held & Karp, J. SIAM 10(1), 1962, 196-210) and over layers (Viterbi, IEEE Trans. Inf. Theory
/// 13(2), 1967, 260-269), against every order of every layer.
namespace durograde {
namespace {

using grade::Need;
using grade::Ready;
using grade::Stations;

/// Stations of some tools, some of them with several temperatures.
struct Print {
    explicit Print(sheets::Random& random) {
        const int tools = random.between(1, 4);
        for (int number = 0; number < tools; ++number) {
            plan::Tool tool;
            tool.number = number;
            tool.heater = {random.between(2, 6) * 1.0, random.between(5, 15) * 1e-3, 25};
            if (random.chance(30)) {
                tool.prime = plan::Prime{};
                tool.prime->length_mm = random.between(1, 40);
            }
            plan.tools.push_back(tool);
            const int temperatures = random.chance(70) ? 1 : 2;
            for (int i = 0; i < temperatures; ++i) {
                count = stations.number({number, 190.0 + 20 * number + 35 * i, 1.0}) + 1;
            }
        }
        plan.machine.swap_time_s = random.between(0, 15);
    }
    [[nodiscard]] Need need(const std::vector<int>& list) const { return {list, {}}; }
    [[nodiscard]] double cost_s(int from, int to) const {
        return change_s(stations[from], stations[to], plan);
    }

    plan::Plan plan;
    Stations stations;
    int count = 0;
};

std::vector<Need> random_needs(const Print& print, sheets::Random& random, int most) {
    std::vector<Need> needs;
    const int layers = random.between(1, most);
    for (int layer = 0; layer < layers; ++layer) {
        std::vector<int> list;
        for (int station = 0; station < print.count; ++station) {
            if (random.chance(60)) list.push_back(station);
        }
        while (list.size() > 4) list.pop_back();
        needs.push_back(print.need(list));
    }
    return needs;
}

/// Seconds of changes when each layer is ordered with all that follow in sight, as grading does.
double planned_s(const Print& print, std::span<const Need> needs, int ready) {
    grade::Sequence sequence(print.plan);
    double seconds = 0.0;
    for (std::size_t i = 0; i < needs.size(); ++i) {
        const auto order = sequence.order(needs.subspan(i), print.stations,
                                          Ready{ready, print.stations[ready].tool});
        auto sorted = order, wanted = needs[i].stations;
        std::sort(sorted.begin(), sorted.end());
        std::sort(wanted.begin(), wanted.end());
        if (!needs[i].stations.empty()) RC_ASSERT(sorted == wanted);
        if (needs[i].stations.empty()) continue;
        for (const int station : order) {
            seconds += print.cost_s(ready, station);
            ready = station;
        }
    }
    return seconds;
}

double by_trying_s(const Print& print, std::span<const Need> needs, int ready) {
    if (needs.empty()) return 0.0;
    std::vector<int> order = needs.front().stations;
    if (order.empty()) return by_trying_s(print, needs.subspan(1), ready);
    std::sort(order.begin(), order.end());
    double least = 1e18;
    do {
        double seconds = 0.0;
        int at = ready;
        for (const int station : order) {
            seconds += print.cost_s(at, station);
            at = station;
        }
        least = std::min(least, seconds + by_trying_s(print, needs.subspan(1), at));
    } while (std::next_permutation(order.begin(), order.end()));
    return least;
}

/// The ready station first, the others upwards or downwards in turn.
double alternating_s(const Print& print, std::span<const Need> needs, int ready) {
    double seconds = 0.0;
    for (const Need& need : needs) {
        std::vector<int> order = need.stations;
        if (order.empty()) continue;
        std::sort(order.begin(), order.end());
        const auto found = std::find(order.begin(), order.end(), ready);
        if (found != order.end() && found != order.begin()) {
            std::reverse(order.begin(), order.end());
            const auto first = std::find(order.begin(), order.end(), ready);
            std::rotate(order.begin(), first, std::next(first));
        }
        for (const int station : order) {
            seconds += print.cost_s(ready, station);
            ready = station;
        }
    }
    return seconds;
}

}  // namespace

TEST_CASE("the order over layers costs as little as any", "[order]") {
    REQUIRE(rc::check("every order tried", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const Print print(random);
        const std::vector<Need> needs = random_needs(print, random, 4);
        const int ready = random.between(0, print.count - 1);
        const double planned = planned_s(print, needs, ready);
        const double least = by_trying_s(print, needs, ready);
        RC_ASSERT(std::abs(planned - least) < 1e-6);
    }));
}

TEST_CASE("the order over layers is never worse than alternating", "[order]") {
    REQUIRE(rc::check("long prints", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const Print print(random);
        const std::vector<Need> needs = random_needs(print, random, 40);
        const int ready = random.between(0, print.count - 1);
        RC_ASSERT(planned_s(print, needs, ready) <= alternating_s(print, needs, ready) + 1e-6);
    }));
}

TEST_CASE("with a temperature a tool there are no more swaps than the fewest possible", "[order]") {
    REQUIRE(rc::check("swaps", [](std::uint64_t seed) {
        sheets::Random random(seed);
        plan::Plan plan;
        Stations stations;
        for (int tool = 0; tool < 4; ++tool) stations.number({tool, 190.0 + 20 * tool, 1.0});
        std::vector<Need> needs;
        grade::FewestSwaps fewest(0);
        for (int layer = random.between(1, 30); layer > 0; --layer) {
            std::vector<int> list;
            for (int station = 0; station < 4; ++station) {
                if (random.chance(50)) list.push_back(station);
            }
            needs.push_back({list, {}});
            fewest.add_layer(list);
        }
        grade::Sequence sequence(plan);
        long swaps = 0;
        int ready = 0;
        for (std::size_t i = 0; i < needs.size(); ++i) {
            if (needs[i].stations.empty()) continue;
            const std::span<const Need> ahead = std::span(needs).subspan(i);
            for (const int station : sequence.order(ahead, stations, {ready, ready})) {
                if (station != ready) ++swaps;
                ready = station;
            }
        }
        RC_ASSERT(swaps == fewest.fewest());
    }));
}

TEST_CASE("a tool that stands there saves a swap, whatever its temperature", "[order]") {
    plan::Plan plan;
    Stations stations;
    for (int tool = 0; tool < 3; ++tool) stations.number({tool, 200.0 + 10 * tool, 1.0});
    grade::Sequence sequence(plan);
    const std::vector<Need> needs = {{{0, 1, 2}, {}}};
    CHECK(sequence.order(needs, stations, {-1, 2}).front() == 2);
    CHECK(sequence.order(needs, stations, {-1, 1}).front() == 1);
    CHECK(sequence.order(needs, stations, {-1, program::unknown_tool}) ==
          std::vector<int>{0, 1, 2});
}

TEST_CASE("one nozzle goes through its temperatures up and down, not to and fro", "[order]") {
    plan::Plan plan;
    plan.tools.resize(1);
    Stations stations;
    for (const double temperature : {250.0, 190.0, 220.0}) stations.number({0, temperature, 1.0});
    grade::Sequence sequence(plan);
    const std::vector<Need> needs(4, Need{{1, 2, 0}, {}});
    CHECK(sequence.order(needs, stations, {1, 0}) == std::vector<int>{1, 2, 0});
    CHECK(sequence.order(needs, stations, {0, 0}) == std::vector<int>{0, 2, 1});
}

TEST_CASE("a spiral's order is known, and what follows suits it", "[order]") {
    plan::Plan plan;
    Stations stations;
    for (int tool = 0; tool < 3; ++tool) stations.number({tool, 200.0 + 10 * tool, 1.0});
    grade::Sequence sequence(plan);
    const std::vector<Need> needs = {{{0, 1, 2}, {}}, {{0, 1}, {1, 0, 1}}};
    CHECK(sequence.order(needs, stations, {-1, 0}).back() == 1);
    CHECK(sequence.order(std::span(needs).subspan(1), stations, {1, 1}) ==
          std::vector<int>{1, 0, 1});
}

TEST_CASE("a span that needs no station has no order", "[order]") {
    plan::Plan plan;
    Stations stations;
    stations.number({0, 200.0, 1.0});
    grade::Sequence sequence(plan);
    const std::vector<Need> needs = {{{}, {}}, {{0}, {}}};
    CHECK(sequence.order(needs, stations, {0, 0}).empty());
    CHECK(sequence.order({}, stations, {0, 0}).empty());
}

TEST_CASE("many stations are visited upwards or downwards", "[order]") {
    plan::Plan plan;
    Stations stations;
    std::vector<int> all;
    for (int tool = 0; tool < 12; ++tool) all.push_back(stations.number({tool, 200.0, 1.0}));
    grade::Sequence sequence(plan);
    const std::vector<Need> needs = {{all, {}}};
    CHECK(sequence.order(needs, stations, {0, 0}) == all);
    CHECK(sequence.order(needs, stations, {11, 11}) == std::vector<int>(all.rbegin(), all.rend()));
}

}  // namespace durograde
