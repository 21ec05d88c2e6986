#pragma once

#include <atomic>
#include <memory>
#include <optional>

#include "mesh/nearest.hpp"
#include "mesh/triangles.hpp"
#include "mesh/winding.hpp"

namespace durograde::mesh {

/// Signed distance in mm to a surface, negative inside, which is where it winds round a point at
/// least half a time. On a closed surface 1 is a Lipschitz bound; on an open one the sign jumps
/// somewhere across each hole, and is right farther from it than its own width. May be asked by
/// several threads.
class Distance {
  public:
    /// `triangles` holds at least one.
    explicit Distance(std::shared_ptr<const Triangles> triangles);

    /// Exact but for rounding.
    [[nodiscard]] double exact_mm(const Point& point) const;

    /// The distance at the nearest node of a grid, many times faster. No more than `off_mm` from
    /// the exact one, by the Lipschitz bound.
    [[nodiscard]] double rough_mm(const Point& point) const;
    [[nodiscard]] double off_mm() const noexcept { return off_mm_; }

  private:
    struct Grid {
        Point low{};
        double cell_mm = 0.0;
        std::array<std::size_t, 3> nodes{};
        /// Distances in single precision, each worked out when first asked for; 0 before.
        std::unique_ptr<std::atomic<float>[]> at;
    };
    static Grid grid_around(const Triangles& triangles);
    /// The distance, worked out without the grid.
    [[nodiscard]] double measured_mm(const Point& point) const;
    /// The distance of the node nearest to `point`, which no more than `off_mm` lie apart; nothing
    /// outside of the grid.
    [[nodiscard]] std::optional<double> at_node(const Point& point) const;

    std::shared_ptr<const Triangles> triangles_;
    Nearest nearest_;
    Winding winding_;
    Grid grid_;
    double off_mm_;
};

}  // namespace durograde::mesh
