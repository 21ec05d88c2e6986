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

inline bool is_permutation(std::vector<std::uint32_t> order, std::size_t size) {
    std::sort(order.begin(), order.end());
    std::vector<std::uint32_t> all(size);
    std::iota(all.begin(), all.end(), 0U);
    return order == all;
}

/// The shortest open tour from `start` over all stops; closed where `back` is given. Dynamic
/// programming over subsets (Held & Karp, J. SIAM 10(1), 1962, 196-210).
inline double shortest(const std::vector<Stop>& stops, const Point& start,
                       const Point* back = nullptr) {
    const std::size_t n = stops.size(), sets = std::size_t{1} << n;
    std::vector<double> best(sets * n, 1e30);
    for (std::size_t i = 0; i < n; ++i)
        best[(std::size_t{1} << i) * n + i] = distance_xy(start, stops[i].entry);
    for (std::size_t set = 1; set < sets; ++set) {
        for (std::size_t last = 0; last < n; ++last) {
            const double length = best[set * n + last];
            if (length >= 1e30) continue;
            for (std::size_t next = 0; next < n; ++next) {
                if ((set >> next & 1U) != 0) continue;
                double& to = best[(set | std::size_t{1} << next) * n + next];
                to = std::min(to, length + distance_xy(stops[last].exit, stops[next].entry));
            }
        }
    }
    double least = 1e30;
    for (std::size_t last = 0; last < n; ++last) {
        const double home = back != nullptr ? distance_xy(stops[last].exit, *back) : 0.0;
        least = std::min(least, best[(sets - 1) * n + last] + home);
    }
    return least;
}

}  // namespace durograde::order_test
