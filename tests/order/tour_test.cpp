#include <rapidcheck.h>

#include <catch2/catch.hpp>

#include "random.hpp"
#include "tours.hpp"

/// Short tours. Or-opt: Or, Traveling salesman-type combinatorial problems, thesis, 1976 (from
/// memory). Instances: Reinelt, TSPLIB, ORSA J. Comput. 3 (1991) 376-384 (from memory), taken as
/// plain coordinates where nothing else is said; those of ulysses16 are from memory and give its
/// published optimum.
namespace durograde {
namespace {

using order_test::is_permutation;
using order_test::length_of;
using order_test::Point;
using order_test::shortest;
using order_test::Stop;
using order_test::stops_at;
using order_test::tour_of;

const std::vector<Point> burma14 = {{16.47, 96.10}, {16.47, 94.44}, {20.09, 92.54}, {22.39, 93.37},
                                    {25.23, 97.24}, {22.00, 96.05}, {20.47, 97.02}, {17.20, 96.29},
                                    {16.30, 97.38}, {14.05, 98.12}, {16.53, 97.38}, {21.52, 95.59},
                                    {19.41, 97.13}, {20.09, 94.55}};
const std::vector<Point> ulysses16 = {
    {38.24, 20.42}, {39.57, 26.15}, {40.56, 25.32}, {36.26, 23.12}, {33.48, 10.54}, {37.56, 12.19},
    {38.42, 13.11}, {37.52, 20.44}, {41.23, 9.10},  {41.17, 13.05}, {36.08, -5.21}, {38.47, 15.13},
    {38.15, 15.35}, {37.51, 15.17}, {35.49, 14.32}, {39.36, 19.56}};

double tour_length(const std::vector<Point>& points, const Point& start) {
    auto stops = stops_at(points);
    const auto order = tour_of(stops, start);
    CHECK(is_permutation(order, stops.size()));
    return length_of(stops, order, start);
}

std::vector<Stop> random_stops(sheets::Random& random, int most) {
    std::vector<Stop> stops;
    const int count = random.between(0, most);
    for (int i = 0; i < count; ++i) {
        const Point entry{random.between(0, 300) * 1.0, random.between(0, 300) * 1.0, 0};
        // A part is entered and left at places of its own.
        const Point exit{entry.x + random.between(-8, 8), entry.y + random.between(-8, 8), 0};
        stops.push_back({entry, random.chance(70) ? exit : entry});
    }
    return stops;
}

/// TSPLIB's distance of geographical coordinates, with its own constants.
int geo_km(const Point& a, const Point& b) {
    constexpr double pi = 3.141592, radius_km = 6378.388;
    const auto radians = [](double coordinate) {
        const double degrees = std::trunc(coordinate);
        return pi * (degrees + 5.0 * (coordinate - degrees) / 3.0) / 180.0;
    };
    const double latitude_a = radians(a.x), latitude_b = radians(b.x);
    const double q1 = std::cos(radians(a.y) - radians(b.y));
    const double q2 = std::cos(latitude_a - latitude_b), q3 = std::cos(latitude_a + latitude_b);
    return static_cast<int>(radius_km * std::acos(0.5 * ((1.0 + q1) * q2 - (1.0 - q1) * q3)) + 1.0);
}

/// Held and Karp: the shortest way over each set of cities that ends at each of them.
int shortest_closed_km(const std::vector<Point>& cities) {
    constexpr int far = 1 << 28;
    const std::size_t others = cities.size() - 1, sets = std::size_t{1} << others;
    std::vector<int> least(sets * others, far);
    for (std::size_t i = 0; i < others; ++i)
        least[(std::size_t{1} << i) * others + i] = geo_km(cities[0], cities[i + 1]);
    for (std::size_t set = 1; set < sets; ++set) {
        for (std::size_t end = 0; end < others; ++end) {
            const int here = least[set * others + end];
            if (here >= far) continue;
            for (std::size_t next = 0; next < others; ++next) {
                const std::size_t bit = std::size_t{1} << next;
                if ((set & bit) != 0) continue;
                int& there = least[(set | bit) * others + next];
                there = std::min(there, here + geo_km(cities[end + 1], cities[next + 1]));
            }
        }
    }
    int shortest_km = far;
    for (std::size_t end = 0; end < others; ++end)
        shortest_km = std::min(
            shortest_km, least[(sets - 1) * others + end] + geo_km(cities[end + 1], cities[0]));
    return shortest_km;
}

}  // namespace

TEST_CASE("tours whose shortest way is plain to see", "[order]") {
    CHECK(tour_of({}, {0, 0, 0}).empty());
    CHECK(tour_of(stops_at({{5, 5, 0}}), {0, 0, 0}) == std::vector<std::uint32_t>{0});
    // Points on a line, given out of order.
    CHECK(tour_length({{3, 0, 0}, {1, 0, 0}, {2, 0, 0}, {4, 0, 0}, {5, 0, 0}}, {0, 0, 0}) ==
          Approx(5).epsilon(1e-12));
    // A square's corners in crossing order.
    CHECK(tour_length({{1, 1, 0}, {1, 0, 0}, {0, 1, 0}}, {0, 0, 0}) == Approx(3).epsilon(1e-12));
    // Three rows of three, from a corner.
    std::vector<Point> grid;
    for (const int i : {4, 8, 2, 6, 1, 3, 7, 5}) grid.push_back({i % 3 * 1.0, i / 3 * 1.0, 0});
    CHECK(tour_length(grid, {0, 0, 0}) == Approx(8).epsilon(1e-12));
    // A hexagon of unit sides, all the way round but one.
    std::vector<Point> hexagon;
    for (const int i : {3, 1, 5, 2, 4})
        hexagon.push_back({std::cos(i * 1.0471975512), std::sin(i * 1.0471975512), 0});
    CHECK(tour_length(hexagon, {1, 0, 0}) == Approx(5).epsilon(1e-9));
}

TEST_CASE("an entry far from its exit counts", "[order]") {
    // The nearest stop leads far away, to where the last one is: the second must come before it.
    std::vector<Stop> stops = {
        {{1, 0, 0}, {100, 0, 0}}, {{2, 0, 0}, {2, 0, 0}}, {{101, 0, 0}, {101, 0, 0}}};
    const auto order = tour_of(stops, {0, 0, 0});
    CHECK(order == std::vector<std::uint32_t>{1, 0, 2});
}

TEST_CASE("the exact solution agrees with what is known of the instances", "[order]") {
    const std::vector<Point> rest(burma14.begin() + 1, burma14.end());
    CHECK(shortest(stops_at(rest), burma14[0], &burma14[0]) == Approx(30.8785038926).epsilon(1e-9));
    const std::vector<Point> corners = {{10, 0, 0}, {10, 10, 0}, {0, 10, 0}, {5, 3, 0}};
    const Point origin{0, 0, 0};
    CHECK(shortest(stops_at(corners), origin, &origin) == Approx(41.6619037897).epsilon(1e-9));
}

// The published optima of TSPLIB, 3323 and 6859, by its own distance (GEO: whole kilometres on a
// sphere, degrees and minutes as DDD.MM; the rule of the TSPLIB FAQ), proved anew by Held and
// Karp's dynamic program (1962, from memory). Open tours by plain coordinates, closed, were
// measured to be 1.100 and 1.082 times as long on average.
TEST_CASE("tours by plain coordinates are near the published optima of TSPLIB", "[order]") {
    struct Row {
        const std::vector<Point>& cities;
        int optimum;
        double most;
    };
    for (const Row& row : {Row{burma14, 3323, 1.11}, Row{ulysses16, 6859, 1.09}}) {
        CHECK(shortest_closed_km(row.cities) == row.optimum);
        double mean = 0;
        for (std::size_t first = 0; first < row.cities.size(); ++first) {
            std::vector<Point> rest = row.cities;
            rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(first));
            auto stops = stops_at(rest);
            int km = 0;
            Point at = row.cities[first];
            for (const std::uint32_t i : tour_of(stops, at)) {
                km += geo_km(at, rest[i]);
                at = rest[i];
            }
            km += geo_km(at, row.cities[first]);
            CHECK(km >= row.optimum);
            mean += 1.0 * km / static_cast<double>(row.cities.size());
        }
        CAPTURE(row.optimum, mean);
        CHECK(mean <= row.most * row.optimum);
    }
}

TEST_CASE("tours of known instances come near to the shortest", "[order]") {
    // Measured, from each city in turn: at most 1.091 and 1.040 of the shortest, mean 1.009. No
    // bound is proven for this method.
    for (const auto& [points, most] : {std::pair{burma14, 1.10}, std::pair{ulysses16, 1.05}}) {
        for (std::size_t first = 0; first < points.size(); ++first) {
            std::vector<Point> rest = points;
            rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(first));
            const double found = tour_length(rest, points[first]);
            const double least = shortest(stops_at(rest), points[first]);
            CAPTURE(points.size(), first, found / least);
            CHECK(found >= least * (1 - 1e-12));
            CHECK(found <= least * most);
        }
    }
}

TEST_CASE("no stop can be moved to shorten a short tour, and no stop is lost", "[order]") {
    REQUIRE(rc::check("by trying every move", [](std::uint64_t seed) {
        sheets::Random random(seed);
        auto stops = random_stops(random, 25);
        const Point start{150, 150, 0};
        const auto order = tour_of(stops, start);
        RC_ASSERT(is_permutation(order, stops.size()));
        const double length = length_of(stops, order, start);
        for (std::size_t from = 0; from < order.size(); ++from) {
            auto without = order;
            without.erase(without.begin() + static_cast<std::ptrdiff_t>(from));
            for (std::size_t to = 0; to <= without.size(); ++to) {
                auto moved = without;
                moved.insert(moved.begin() + static_cast<std::ptrdiff_t>(to), order[from]);
                RC_ASSERT(length_of(stops, moved, start) >= length - 1e-5);
            }
        }
    }));
}

TEST_CASE("a short tour is no longer than the order given, nor than the nearest each time",
          "[order]") {
    REQUIRE(rc::check("stops with entries and exits", [](std::uint64_t seed) {
        sheets::Random random(seed);
        auto stops = random_stops(random, 30);
        const Point start{150, 150, 0};
        std::vector<std::uint32_t> given(stops.size());
        std::iota(given.begin(), given.end(), 0U);
        std::vector<std::uint32_t> nearest, rest = given;
        Point at = start;
        while (!rest.empty()) {
            const auto next = std::min_element(rest.begin(), rest.end(), [&](auto a, auto b) {
                return distance_xy(at, stops[a].entry) < distance_xy(at, stops[b].entry);
            });
            at = stops[*next].exit;
            nearest.push_back(*next);
            rest.erase(next);
        }
        const double found = length_of(stops, tour_of(stops, start), start);
        RC_ASSERT(found <= length_of(stops, given, start) + 1e-6);
        RC_ASSERT(found <= length_of(stops, nearest, start) + 1e-6);
    }));
}

TEST_CASE("short tours of few stops are seldom far from the shortest", "[order]") {
    double found = 0, least = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        sheets::Random random(seed);
        auto stops = random_stops(random, 8);
        if (stops.empty()) continue;
        const Point start{0, 0, 0};
        found += length_of(stops, tour_of(stops, start), start);
        least += shortest(stops, start);
    }
    CHECK(found >= least);
    CHECK(found <= least * 1.003);  // measured: 1.0022 over these instances
}

TEST_CASE("strokes that may be printed from either end are toured from either end", "[order]") {
    double found = 0, least = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        sheets::Random random(seed);
        auto stops = random_stops(random, 8);
        if (stops.empty()) continue;
        const Point start{0, 0, 0};
        for (Stop& stop : stops) {
            stop.exit.x += random.between(-60, 60);
            stop.can_turn = random.chance(70);
        }
        const auto before = stops;
        const auto order = tour_of(stops, start);
        REQUIRE(is_permutation(order, stops.size()));
        for (std::size_t i = 0; i < stops.size(); ++i) {
            const Stop &was = before[i], &is = stops[i];
            REQUIRE((was.can_turn || !is.turned));
            REQUIRE((is.turned ? is.entry : is.exit) == was.exit);
            REQUIRE((is.turned ? is.exit : is.entry) == was.entry);
        }
        found += length_of(stops, order, start);
        least += shortest(before, start);
    }
    CHECK(found >= least);
    CHECK(found <= least * 1.006);  // measured: 1.0050 over these instances
}

}  // namespace durograde
