#include "mesh/effort.hpp"

#include <algorithm>
#include <cstdint>

#include "mesh/nearest.hpp"
#include "mesh/winding.hpp"

namespace durograde::mesh {

std::size_t mean_looks(const Triangles& triangles) {
    constexpr std::size_t places = 48;
    constexpr double margin_mm = 3.0;
    // As many looks as this need no counting.
    if (triangles.corners.size() * 2 <= most_looks) return 0;
    Point low = triangles.points.front(), high = low;
    for (const Point& point : triangles.points) {
        for (std::size_t axis = 0; axis < 3; ++axis) {
            low[axis] = std::min(low[axis], point[axis]);
            high[axis] = std::max(high[axis], point[axis]);
        }
    }
    const Nearest nearest(triangles);
    const Winding winding(triangles);
    std::uint64_t state = 1;
    // A 64-bit linear congruential generator (Knuth, TAOCP 2, 3.3.4): the same places each time.
    const auto share = [&] {
        state = state * 6364136223846793005U + 1442695040888963407U;
        return static_cast<double>(state >> 11U) / 9007199254740992.0;  // 2^53
    };
    std::size_t looks = 0;
    for (std::size_t i = 0; i < places; ++i) {
        Point at{};
        for (std::size_t axis = 0; axis < 3; ++axis)
            at[axis] = low[axis] - margin_mm + share() * (high[axis] - low[axis] + 2 * margin_mm);
        looks += nearest.looks(at) + winding.looks(at);
    }
    return looks / places;
}

}  // namespace durograde::mesh
