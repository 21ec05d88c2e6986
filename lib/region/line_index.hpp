#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "region/hull.hpp"

namespace durograde::region {

/// Straight lines of the bed, by squares, so that the nearest one to a point is found quickly.
class LineIndex {
  public:
    /// `ends` are the lines' ends in pairs, and must outlive the index. `reach_mm` is how far
    /// lines are looked for.
    LineIndex(std::span<const FlatPoint> ends, double reach_mm);

    /// Exact distance from the point to the nearest line, mm; nothing where that is beyond reach.
    [[nodiscard]] std::optional<double> distance_mm(const FlatPoint& point) const;

  private:
    template <typename Take>
    void for_squares(std::size_t line, Take take) const;
    void fit();

    std::span<const FlatPoint> ends_;
    double square_mm_, low_x_mm_ = 0.0, low_y_mm_ = 0.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<std::uint32_t> first_;  ///< by square, into `lines_`; one more at the end
    std::vector<std::uint32_t> lines_;
};

}  // namespace durograde::region
