#include "region/own_walls.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

// How far out a wall is looked for: walls that lean by a bead and a half a layer, such as 73
// degrees from upright with layers of 0.2 mm and beads of 0.45 mm.
constexpr double reach_beads = 4.0;
constexpr double rounding_mm = 1e-6;
constexpr double sample_mm = 1.0;
constexpr int most_samples = 16;

double length_mm(const FlatPoint& a, const FlatPoint& b) {
    return std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
}

}  // namespace

OwnWalls::OwnWalls(const LowLayers& low, double bead_mm)
    : bead_mm_(bead_mm),
      above_{LineIndex(low[0], reach_beads * bead_mm), LineIndex(low[1], reach_beads * bead_mm),
             LineIndex(low[2], reach_beads * bead_mm)} {}

bool OwnWalls::owns(const FlatPoint& point) const {
    std::array<double, 3> away{};
    std::size_t layers = 0;
    for (const LineIndex& layer : above_) {
        const auto distance = layer.distance_mm(point);
        if (!distance) continue;
        if (*distance <= bead_mm_ / 2 + rounding_mm) return true;
        away[layers++] = *distance;
    }
    if (layers < 2) return false;
    double lean_mm = away[1] - away[0];
    if (layers == 3) lean_mm = std::min(lean_mm, away[2] - away[1]);
    return away[0] <= lean_mm + bead_mm_ / 2 + rounding_mm;
}

bool OwnWalls::owns(std::span<const FlatPoint> ends) const {
    double length = 0.0;
    for (std::size_t i = 0; i + 1 < ends.size(); i += 2) length += length_mm(ends[i], ends[i + 1]);
    const int samples = std::clamp(static_cast<int>(length / sample_mm) + 1, 3, most_samples);
    int own = 0;
    std::size_t bead = 0;
    double begin = 0.0;
    for (int sample = 0; sample < samples; ++sample) {
        const double at = length * (sample + 0.5) / samples;
        while (bead + 2 < ends.size() && begin + length_mm(ends[bead], ends[bead + 1]) < at) {
            begin += length_mm(ends[bead], ends[bead + 1]);
            bead += 2;
        }
        const FlatPoint &a = ends[bead], &b = ends[bead + 1];
        const double bead_length = length_mm(a, b);
        const double share = bead_length > 0 ? std::min((at - begin) / bead_length, 1.0) : 0.0;
        own +=
            owns({a.x_mm + (b.x_mm - a.x_mm) * share, a.y_mm + (b.y_mm - a.y_mm) * share}) ? 1 : 0;
    }
    return 2 * own > samples;
}

}  // namespace durograde::region
