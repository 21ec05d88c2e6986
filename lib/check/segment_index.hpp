#pragma once

#include <cstdint>
#include <vector>

#include "check/layer.hpp"

namespace durograde::check {

/// Finds the segments of a layer that pass near a point.
class SegmentIndex {
  public:
    /// Memory is reused from layer to layer.
    void build(const Layer& layer);

    /// Calls `take` with every segment that passes within `reach_mm` (given to `build` by the
    /// grid's margin) of the point, and some more, the later ones first.
    template <typename Take>
    void near(double x, double y, Take take) const {
        if (columns_ == 0) return;
        const double column = (x - low_x_) / cell_mm, row = (y - low_y_) / cell_mm;
        if (!(column >= 0 && row >= 0)) return;
        const auto c = static_cast<std::size_t>(column), r = static_cast<std::size_t>(row);
        if (c >= columns_ || r >= rows_) return;
        for (std::int32_t i = first_[r * columns_ + c]; i >= 0;) {
            const Entry& entry = entries_[static_cast<std::size_t>(i)];
            take(entry.segment);
            i = entry.next;
        }
    }

    static constexpr double reach_mm = 0.05;  ///< above any rounding of written coordinates

  private:
    static constexpr double cell_mm = 1.0;  // some tens of segments where beads lie closest

    struct Entry {
        std::uint32_t segment = 0;
        std::int32_t next = -1;
    };
    void fit(const Layer& layer);
    void add(std::uint32_t segment, std::size_t row, std::size_t column);
    void add_line(std::uint32_t segment, const Point& from, const Point& to);
    void add_box(std::uint32_t segment, double low_x, double low_y, double high_x, double high_y);

    double low_x_ = 0.0, low_y_ = 0.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<std::int32_t> first_;  ///< by cell
    std::vector<Entry> entries_;
};

}  // namespace durograde::check
