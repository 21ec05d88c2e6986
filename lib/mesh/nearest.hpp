#pragma once

#include <limits>
#include <memory>

#include "mesh/triangles.hpp"

namespace durograde::mesh {

/// The point of triangle `abc` that is nearest to `point` (Ericson, Real-Time Collision Detection,
/// 2005, 5.1.5; from memory).
Point nearest_on(const std::array<Point, 3>& triangle, const Point& point);

/// Finds the nearest triangle through a hierarchy of boxes. May be asked by several threads.
class Nearest {
  public:
    /// `triangles` holds at least one, and must outlive this.
    explicit Nearest(const Triangles& triangles);
    ~Nearest();
    Nearest(Nearest&&) noexcept;
    Nearest& operator=(Nearest&&) noexcept;

    /// How far the surface is from `point`, mm: exact but for the rounding of double arithmetic.
    /// It is known to be no farther than `at_most_mm`.
    [[nodiscard]] double distance_mm(
        const Point& point, double at_most_mm = std::numeric_limits<double>::infinity()) const;
    /// How many triangles are looked at for that.
    [[nodiscard]] std::size_t looks(const Point& point) const;

  private:
    struct Boxes;
    std::unique_ptr<Boxes> boxes_;
};

}  // namespace durograde::mesh
