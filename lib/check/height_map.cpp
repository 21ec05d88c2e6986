#include "check/height_map.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace durograde::check {
namespace {

constexpr double most_cells = 4e6;
constexpr float nothing_mm = -1e9F;

}  // namespace

HeightMap::HeightMap(const plan::Range& x_mm, const plan::Range& y_mm) : x_mm_(x_mm), y_mm_(y_mm) {
    const double area_mm2 = (x_mm.high - x_mm.low) * (y_mm.high - y_mm.low);
    cell_mm_ = std::max(cell_mm_, std::sqrt(area_mm2 / most_cells));
    cells_per_mm_ = 1.0 / cell_mm_;
    columns_ = static_cast<std::size_t>((x_mm.high - x_mm.low) * cells_per_mm_) + 2;
    rows_ = static_cast<std::size_t>((y_mm.high - y_mm.low) * cells_per_mm_) + 2;
    heights_.assign(columns_ * rows_ + 1, nothing_mm);
}

bool HeightMap::is_on_bed(const Point& at) const {
    return at.x >= x_mm_.low && at.x <= x_mm_.high && at.y >= y_mm_.low && at.y <= y_mm_.high;
}

std::size_t HeightMap::cell(double x_mm, double y_mm) const {
    if (!is_on_bed({x_mm, y_mm, 0.0})) return columns_ * rows_;
    const auto column = static_cast<std::size_t>((x_mm - x_mm_.low) * cells_per_mm_);
    const auto row = static_cast<std::size_t>((y_mm - y_mm_.low) * cells_per_mm_);
    return row * columns_ + column;
}

/// Calls `take` with cell and height at places so much finer apart than a cell, both ends among
/// them, until it says true.
template <typename Take>
void HeightMap::walk(const Act& move, double fineness, Take take) const {
    const double flat_mm = move.is_arc ? move.arc.length_mm() : distance_xy(move.from, move.to);
    const auto steps = static_cast<std::size_t>(flat_mm * cells_per_mm_ * fineness) + 1;
    if (move.is_arc || !is_on_bed(move.from) || !is_on_bed(move.to)) {
        for (std::size_t i = 0; i <= steps; ++i) {
            const double share = static_cast<double>(i) / static_cast<double>(steps);
            const Point at = move.is_arc ? move.arc.at(share, move.from.z, move.to.z)
                                         : between(move.from, move.to, share);
            if (take(cell(at.x, at.y), at.z)) return;
        }
        return;
    }
    // A straight way on the bed, as nearly all are, in units of cells.
    const double part = 1.0 / static_cast<double>(steps);
    double x = (move.from.x - x_mm_.low) * cells_per_mm_;
    double y = (move.from.y - y_mm_.low) * cells_per_mm_;
    double z = move.from.z;
    const double dx = (move.to.x - move.from.x) * cells_per_mm_ * part;
    const double dy = (move.to.y - move.from.y) * cells_per_mm_ * part;
    const double dz = (move.to.z - move.from.z) * part;
    for (std::size_t i = 0; i <= steps; ++i, x += dx, y += dy, z += dz) {
        // Sums may end a rounding below the bed's edge.
        const auto column = static_cast<std::size_t>(std::max(0.0, x));
        const auto row = static_cast<std::size_t>(std::max(0.0, y));
        if (take(std::min(row * columns_ + column, columns_ * rows_), z)) return;
    }
}

void HeightMap::print(const Act& bead) {
    if (bead.kind == Kind::filament) return print_pillar(bead.to);
    top_mm_ = std::max({top_mm_, bead.from.z, bead.to.z});
    const bool is_plain = !bead.is_arc && bead.from.z == bead.to.z;
    if (is_plain && is_on_bed(bead.from) && is_on_bed(bead.to)) return print_flat(bead);
    walk(bead, 1.0, [&](std::size_t at, double z_mm) {
        float& height = heights_[at];
        const auto z = static_cast<float>(z_mm);
        if (height < z) height = z;  // most cells stand as high: memory that is not written is kept
        return false;
    });
    heights_.back() = nothing_mm;  // what lies beside the bed is not kept
}

/// Nearly all beads are straight and level: in steps of no more than a cell, as whole numbers of
/// 2⁻³² cells, which a bed has room for a million times over.
void HeightMap::print_flat(const Act& bead) {
    constexpr double fine = 4294967296.0;
    constexpr int whole = 32;
    const auto steps = static_cast<std::int64_t>(distance_xy(bead.from, bead.to) * cells_per_mm_);
    const auto at = [&](double mm, double low_mm) {
        return static_cast<std::int64_t>((mm - low_mm) * cells_per_mm_ * fine);
    };
    std::int64_t x = at(bead.from.x, x_mm_.low), y = at(bead.from.y, y_mm_.low);
    const std::int64_t to_x = at(bead.to.x, x_mm_.low), to_y = at(bead.to.y, y_mm_.low);
    // Rounded towards the start: no sum leads beyond the end.
    const double share = 1.0 / static_cast<double>(steps + 1);
    const auto step_x = static_cast<std::int64_t>(static_cast<double>(to_x - x) * share);
    const auto step_y = static_cast<std::int64_t>(static_cast<double>(to_y - y) * share);
    const auto z = static_cast<float>(bead.to.z);
    const auto raise = [&](std::int64_t column, std::int64_t row) {
        float& height =
            heights_[static_cast<std::size_t>(row) * columns_ + static_cast<std::size_t>(column)];
        if (height < z) height = z;  // most cells stand as high already
    };
    for (std::int64_t i = 0; i <= steps; ++i, x += step_x, y += step_y)
        raise(x >> whole, y >> whole);
    raise(to_x >> whole, to_y >> whole);
}

/// Straight up, half a bead to all sides.
void HeightMap::print_pillar(const Point& top) {
    constexpr double half_mm = 0.25;
    for (const double x : {top.x - half_mm, top.x, top.x + half_mm}) {
        for (const double y : {top.y - half_mm, top.y, top.y + half_mm}) {
            float& height = heights_[cell(x, y)];
            height = std::max(height, static_cast<float>(top.z));
        }
    }
    heights_.back() = nothing_mm;
    top_mm_ = std::max(top_mm_, top.z);
}

bool HeightMap::is_hit_by(const Act& move) const {
    const bool is_above = std::min(move.from.z, move.to.z) >= top_mm_ - slack_mm;
    if (is_above || !move.from_known || !(move.length_mm > 0)) return false;
    bool hit = false;
    walk(move, 2.0, [&](std::size_t at, double z_mm) {
        hit = static_cast<double>(heights_[at]) > z_mm + slack_mm;
        return hit;
    });
    return hit;
}

}  // namespace durograde::check
