#pragma once

#include <vector>

#include "check/layer.hpp"

namespace durograde::check {

/// The way back along a piece just printed.
class Trail {
  public:
    /// A way leaves the trail where it is farther than `reach_mm` from it.
    explicit Trail(double reach_mm) : reach_mm_(reach_mm) {}

    /// From the share `to` of segment `last` back to the share `from` of segment `first`, at most
    /// `most_mm`.
    void trace(const Layer& layer, std::uint32_t first, double from, std::uint32_t last, double to,
               double most_mm);

    [[nodiscard]] double length_mm() const noexcept { return length_mm_; }
    [[nodiscard]] bool is_near(const Point& point) const;

  private:
    void add(const Point& point);

    double reach_mm_;
    double length_mm_ = 0.0;
    std::vector<Point> points_;
};

}  // namespace durograde::check
