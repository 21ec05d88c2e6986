#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "region/footprint.hpp"

namespace durograde::region {

/// The shape of an island seen from above, its closed holes filled.
class Outline {
  public:
    explicit Outline(Mask mask);

    /// Nowhere wider than `width_mm`: a purge line, a skirt of several layers.
    [[nodiscard]] bool is_line(double width_mm) const;

    /// The turn in degrees, counter-clockwise, from −180 to 180 and true to about a degree, by
    /// which `other` is this outline; nothing where it is another shape. Where several turns fit,
    /// the smallest one. Outlines whose rims lie less than a cell apart on average are the same.
    [[nodiscard]] std::optional<double> turn_to(const Outline& other) const;

  private:
    /// Distance from the centre to the farthest cell in each direction, half a degree each.
    static constexpr std::size_t directions = 720;
    using Profile = std::array<double, directions>;

    struct Fit {
        double turn_deg = 0.0, mismatch = 0.0;
    };

    void measure();
    [[nodiscard]] bool covers(double x_mm, double y_mm) const noexcept;
    [[nodiscard]] double mismatch(const Outline& other, double turn_deg) const;
    [[nodiscard]] std::vector<double> likely_turns(const Outline& other) const;
    [[nodiscard]] std::vector<Fit> fits_to(const Outline& other) const;

    Mask mask_;
    double center_x_mm_ = 0.0, center_y_mm_ = 0.0;
    std::size_t area_cells_ = 0, rim_cells_ = 0;
    Profile profile_{};
};

}  // namespace durograde::region
