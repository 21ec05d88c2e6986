#include "mesh/distance.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "mesh/vectors.hpp"

namespace durograde::mesh {
namespace {

/// 4 MiB. Parts of 30 mm get cells of about 0.5 mm.
constexpr double most_nodes = 1 << 20;
constexpr double finest_cell_mm = 0.1;
/// Conditions ask for distances up to some mm beside the surface.
constexpr double least_margin_mm = 3.0, most_margin_mm = 15.0;

}  // namespace

Distance::Grid Distance::grid_around(const Triangles& triangles) {
    Point low{1e30, 1e30, 1e30}, high{-1e30, -1e30, -1e30};
    for (const Point& point : triangles.points) {
        for (std::size_t axis = 0; axis < 3; ++axis) {
            low[axis] = std::min(low[axis], point[axis]);
            high[axis] = std::max(high[axis], point[axis]);
        }
    }
    const double margin_mm = std::clamp(norm(high - low) / 2, least_margin_mm, most_margin_mm);
    Grid grid;
    Point size{};
    for (std::size_t axis = 0; axis < 3; ++axis) {
        grid.low[axis] = low[axis] - margin_mm;
        size[axis] = high[axis] - low[axis] + 2 * margin_mm;
    }
    grid.cell_mm = std::max(finest_cell_mm, std::cbrt(size[0] * size[1] * size[2] / most_nodes));
    std::size_t count = 1;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        grid.nodes[axis] = static_cast<std::size_t>(size[axis] / grid.cell_mm) + 1;
        count *= grid.nodes[axis];
    }
    grid.at = std::make_unique<std::atomic<float>[]>(count);
    return grid;
}

Distance::Distance(std::shared_ptr<const Triangles> triangles)
    : triangles_(std::move(triangles)),
      nearest_(*triangles_),
      winding_(*triangles_),
      grid_(grid_around(*triangles_)),
      // Half the diagonal of a cell, and what single precision takes.
      off_mm_(std::sqrt(3.0) / 2 * grid_.cell_mm * 1.001) {}

double Distance::measured_mm(const Point& point) const {
    const double unsigned_mm = nearest_.distance_mm(point);
    return winding_.at(point) >= 0.5 ? -unsigned_mm : unsigned_mm;
}

std::optional<double> Distance::at_node(const Point& point) const {
    Point node = grid_.low;
    std::size_t index = 0;
    for (std::size_t axis = 3; axis-- > 0;) {
        const double at = std::round((point[axis] - grid_.low[axis]) / grid_.cell_mm);
        if (!(at >= 0 && at < static_cast<double>(grid_.nodes[axis]))) return std::nullopt;
        node[axis] += at * grid_.cell_mm;
        index = index * grid_.nodes[axis] + static_cast<std::size_t>(at);
    }
    std::atomic<float>& known = grid_.at[index];
    float mm = known.load(std::memory_order_relaxed);
    if (mm == 0.0F) {
        mm = static_cast<float>(measured_mm(node));
        known.store(mm, std::memory_order_relaxed);
    }
    return static_cast<double>(mm);
}

double Distance::exact_mm(const Point& point) const {
    const std::optional<double> node_mm = at_node(point);
    // Near the surface, and far outside of the grid.
    if (!node_mm || std::abs(*node_mm) <= off_mm_) return measured_mm(point);
    // The way to the node crosses no triangle: it lies on the same side.
    return std::copysign(nearest_.distance_mm(point, std::abs(*node_mm) + off_mm_), *node_mm);
}

double Distance::rough_mm(const Point& point) const {
    const std::optional<double> node_mm = at_node(point);
    return node_mm ? *node_mm : measured_mm(point);
}

}  // namespace durograde::mesh
