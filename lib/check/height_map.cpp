#include "check/height_map.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

constexpr double most_cells = 4e6;
constexpr float nothing_mm = -1e9F;

}  // namespace

HeightMap::HeightMap(const plan::Range& x_mm, const plan::Range& y_mm) : x_mm_(x_mm), y_mm_(y_mm) {
    const double area_mm2 = (x_mm.high - x_mm.low) * (y_mm.high - y_mm.low);
    cell_mm_ = std::max(cell_mm_, std::sqrt(area_mm2 / most_cells));
    columns_ = static_cast<std::size_t>((x_mm.high - x_mm.low) / cell_mm_) + 1;
    rows_ = static_cast<std::size_t>((y_mm.high - y_mm.low) / cell_mm_) + 1;
    heights_.assign(columns_ * rows_ + 1, nothing_mm);
}

std::size_t HeightMap::cell(double x_mm, double y_mm) const {
    const bool inside =
        x_mm >= x_mm_.low && x_mm <= x_mm_.high && y_mm >= y_mm_.low && y_mm <= y_mm_.high;
    if (!inside) return columns_ * rows_;
    const auto column = static_cast<std::size_t>((x_mm - x_mm_.low) / cell_mm_);
    const auto row = static_cast<std::size_t>((y_mm - y_mm_.low) / cell_mm_);
    return row * columns_ + column;
}

/// Calls `take` with cell and height at places half a cell apart, both ends among them, until it
/// says true.
template <typename Take>
void HeightMap::walk(const Act& move, Take take) const {
    const double flat_mm = move.is_arc ? move.arc.length_mm() : distance_xy(move.from, move.to);
    const auto steps = static_cast<std::size_t>(std::ceil(flat_mm / cell_mm_ * 2));
    for (std::size_t i = 0; i <= steps; ++i) {
        const double share = steps == 0 ? 1.0 : static_cast<double>(i) / static_cast<double>(steps);
        const Point at = move.is_arc ? move.arc.at(share, move.from.z, move.to.z)
                                     : between(move.from, move.to, share);
        if (take(cell(at.x, at.y), at.z)) return;
    }
}

void HeightMap::print(const Act& bead) {
    const std::size_t beside = columns_ * rows_;
    walk(bead, [&](std::size_t at, double z_mm) {
        float& height = heights_[at];
        if (at != beside) height = std::max(height, static_cast<float>(z_mm));
        return false;
    });
    top_mm_ = std::max({top_mm_, bead.from.z, bead.to.z});
}

bool HeightMap::is_hit_by(const Act& move) const {
    const bool is_above = std::min(move.from.z, move.to.z) >= top_mm_ - slack_mm;
    if (is_above || !move.from_known || !(move.length_mm > 0)) return false;
    bool hit = false;
    walk(move, [&](std::size_t at, double z_mm) {
        hit = static_cast<double>(heights_[at]) > z_mm + slack_mm;
        return hit;
    });
    return hit;
}

}  // namespace durograde::check
