#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "region/footprint.hpp"

namespace durograde::region {

/// Nowhere wider than `width_mm`: a purge line, a skirt of several layers.
bool is_line(const Mask& mask, double width_mm);

/// The shape of an island seen from above, its closed holes filled.
class Outline {
  public:
    explicit Outline(Mask mask);

    /// A turn in degrees, counter-clockwise and true to about a degree, and which share of the
    /// rim's cells do not agree there.
    struct Fit {
        double turn_deg = 0.0, mismatch = 0.0;
    };
    /// The turns by which `other` is this outline, as well as cells can tell; none where it is
    /// another shape. Outlines whose rims lie less than a cell apart on average are the same.
    [[nodiscard]] std::vector<Fit> fits(const Outline& other) const;

  private:
    /// Distance from the centre to the farthest cell in each direction, half a degree each.
    static constexpr std::size_t directions = 720;
    using Profile = std::array<double, directions>;

    void measure();
    [[nodiscard]] bool covers(double x_mm, double y_mm) const noexcept;
    [[nodiscard]] double mismatch(const Outline& other, double turn_deg) const;
    [[nodiscard]] std::vector<double> likely_turns(const Outline& other) const;
    [[nodiscard]] std::vector<Fit> likely_fits(const Outline& other) const;

    Mask mask_;
    double center_x_mm_ = 0.0, center_y_mm_ = 0.0;
    std::size_t area_cells_ = 0, rim_cells_ = 0;
    Profile profile_{};
};

}  // namespace durograde::region
