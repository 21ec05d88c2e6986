#pragma once

#include <cstdint>
#include <vector>

#include "geometry/path.hpp"
#include "plan/plan.hpp"

namespace durograde::region {

/// Tells which layers stand on the bed, whatever their heights: a purge line may lie lower or
/// higher than the parts' first layer. It looks at squares of the bed of 1 mm.
class FirstLayers {
  public:
    FirstLayers(const plan::Range& x_mm, const plan::Range& y_mm);

    void begin_layer();
    /// A bead of the present layer, by its centre line.
    void add(const geometry::Point& from, const geometry::Point& to);
    /// The present layer has no bead.
    [[nodiscard]] bool is_empty() const noexcept { return length_mm_ <= 0; }
    /// Less than half of the present layer lies over what was printed in layers before, or within
    /// a square of it.
    [[nodiscard]] bool stands_on_bed() const noexcept { return over_mm_ * 2 < length_mm_; }

  private:
    [[nodiscard]] bool is_over(std::size_t column, std::size_t row) const noexcept;

    double low_x_mm_, low_y_mm_, squares_per_mm_ = 1.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<std::uint32_t> printed_in_;  ///< by square, the first layer in it; 0 for none
    std::uint32_t layer_ = 0;
    double length_mm_ = 0.0, over_mm_ = 0.0;  ///< of the present layer's beads
};

}  // namespace durograde::region
