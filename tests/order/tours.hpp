#pragma once

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

#include "grade/tour.hpp"

/// Tours measured and solved exactly, for small numbers of stops.
namespace durograde::order_test {

using grade::Stop;
using program::Point;

inline std::vector<Stop> stops_at(const std::vector<Point>& points) {
    std::vector<Stop> stops;
    for (const Point& point : points) stops.push_back({point, point});
    return stops;
}

inline double length_of(const std::vector<Stop>& stops, const std::vector<std::uint32_t>& order,
                        const Point& start) {
    double length = 0;
    Point at = start;
    for (const std::uint32_t stop : order) {
        length += distance_xy(at, stops[stop].entry);
        at = stops[stop].exit;
    }
    return length;
}

/// A short tour of stops that nobody else needs, too.
inline std::vector<std::uint32_t> tour_of(std::vector<Stop>& stops, const Point& start) {
    return grade::short_tour(stops, start);
}
inline std::vector<std::uint32_t> tour_of(std::vector<Stop>&& stops, const Point& start) {
    return grade::short_tour(stops, start);
}

inline bool is_permutation(std::vector<std::uint32_t> order, std::size_t size) {
    std::sort(order.begin(), order.end());
    std::vector<std::uint32_t> all(size);
    std::iota(all.begin(), all.end(), 0U);
    return order == all;
}

/// The shortest open tour from `start` over all stops; closed where `back` is given. Stops that can
/// be turned are entered at either end. Dynamic programming over subsets (Held & Karp, J. SIAM
/// 10(1), 1962, 196-210).
inline double shortest(const std::vector<Stop>& stops, const Point& start,
                       const Point* back = nullptr) {
    const std::size_t n = stops.size(), sets = std::size_t{1} << n, ways = 2 * n;
    const auto entry = [&](std::size_t way) {
        return way % 2 == 0 ? stops[way / 2].entry : stops[way / 2].exit;
    };
    const auto exit = [&](std::size_t way) {
        return way % 2 == 0 ? stops[way / 2].exit : stops[way / 2].entry;
    };
    const auto is_allowed = [&](std::size_t way) {
        return way % 2 == 0 || stops[way / 2].can_turn;
    };
    std::vector<double> best(sets * ways, 1e30);
    for (std::size_t way = 0; way < ways; ++way) {
        if (is_allowed(way))
            best[(std::size_t{1} << way / 2) * ways + way] = distance_xy(start, entry(way));
    }
    for (std::size_t set = 1; set < sets; ++set) {
        for (std::size_t last = 0; last < ways; ++last) {
            const double length = best[set * ways + last];
            if (length >= 1e30) continue;
            for (std::size_t next = 0; next < ways; ++next) {
                if ((set >> next / 2 & 1U) != 0 || !is_allowed(next)) continue;
                double& to = best[(set | std::size_t{1} << next / 2) * ways + next];
                to = std::min(to, length + distance_xy(exit(last), entry(next)));
            }
        }
    }
    double least = 1e30;
    for (std::size_t last = 0; last < ways; ++last) {
        const double home = back != nullptr ? distance_xy(exit(last), *back) : 0.0;
        least = std::min(least, best[(sets - 1) * ways + last] + home);
    }
    return least;
}

}  // namespace durograde::order_test
