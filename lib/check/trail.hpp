#pragma once

#include <vector>

#include "check/layer.hpp"

namespace durograde::check {

/// The way back along a piece just printed.
class Trail {
  public:
    /// A way leaves the trail where it is farther than `reach_mm` from it.
    explicit Trail(double reach_mm) : reach_mm_(reach_mm) {}

    /// A place on a segment of the layer, as a share of its length.
    struct Place {
        std::uint32_t segment = 0;
        double share = 0.0;
    };
    /// Forgets all, and begins where `place` is.
    void begin(const Layer& layer, const Place& place);
    /// Adds the way from `from` to `to` along one stroke, up or down its segments, until the trail
    /// is `most_mm` long.
    void trace(const Layer& layer, const Place& from, const Place& to, double most_mm);

    void clear() {
        points_.clear();
        length_mm_ = 0.0;
    }

    [[nodiscard]] double length_mm() const noexcept { return length_mm_; }
    [[nodiscard]] bool is_near(const Point& point) const;

  private:
    void add(const Point& point);

    double reach_mm_;
    double length_mm_ = 0.0;
    std::vector<Point> points_;
};

}  // namespace durograde::check
