#pragma once

#include <span>

#include "region/hull.hpp"

namespace durograde::region {

/// Calls `take` with the ends of each unbroken row of beads. `ends` are those of all beads in the
/// order of printing, in pairs; a bead of no length breaks no row.
template <typename Take>
void for_strokes(std::span<const FlatPoint> ends, Take take) {
    const auto same = [](const FlatPoint& a, const FlatPoint& b) {
        return a.x_mm == b.x_mm && a.y_mm == b.y_mm;
    };
    for (std::size_t first = 0, last = 2; first < ends.size(); first = last, last += 2) {
        for (FlatPoint end = ends[last - 1]; last < ends.size(); last += 2) {
            const FlatPoint &from = ends[last], &to = ends[last + 1];
            if (same(from, to)) continue;
            if (!same(from, end)) break;
            end = to;
        }
        take(ends.subspan(first, last - first));
    }
}

}  // namespace durograde::region
