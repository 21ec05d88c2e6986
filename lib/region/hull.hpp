#pragma once

#include <array>
#include <span>
#include <vector>

namespace durograde::region {

/// A point of the bed, mm.
struct FlatPoint {
    double x_mm = 0.0, y_mm = 0.0;
};

/// The smallest convex polygon around points of the bed.
class Hull {
  public:
    Hull() = default;
    /// By Andrew's monotone chain (Inf. Process. Lett. 9(5), 1979). Sorts `points`.
    explicit Hull(std::vector<FlatPoint> points);

    /// Its corners, counter-clockwise; one or two where all points lie on a line.
    [[nodiscard]] std::span<const FlatPoint> corners() const noexcept { return corners_; }
    /// Middle of the area; of the points where there is none.
    [[nodiscard]] FlatPoint center() const noexcept { return center_; }
    /// Middle of the box around it, along the bed's axes.
    [[nodiscard]] FlatPoint box_center() const;

    /// The turn in degrees near `turn_deg`, by at most 3, by which `other` fits best as this hull
    /// turned about the centres: where their widths in all directions differ least. None
    /// where that fits as well, else whole degrees where one lies within a tenth of it.
    [[nodiscard]] double refined_turn(const Hull& other, double turn_deg) const;

  private:
    static constexpr std::size_t directions = 90;
    using Reaches = std::array<double, directions>;
    [[nodiscard]] Reaches reaches_mm(double turn_deg) const;
    [[nodiscard]] static double misfit(const Reaches& own, const Hull& other, double turn_deg);

    std::vector<FlatPoint> corners_;
    FlatPoint center_;
};

}  // namespace durograde::region
