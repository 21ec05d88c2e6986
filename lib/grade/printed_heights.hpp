#pragma once

#include <cstddef>
#include <vector>

#include "geometry/path.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// How high what is printed stands, cell by cell of the bed. Told too high rather than too low, by
/// what lies within a cell around.
class PrintedHeights {
  public:
    PrintedHeights(const plan::Range& x_mm, const plan::Range& y_mm);

    void print(const geometry::Point& from, const geometry::Point& to);
    /// The highest place on the straight way, mm; far below the bed where nothing is printed.
    [[nodiscard]] double highest_mm(const geometry::Point& from, const geometry::Point& to) const;

  private:
    [[nodiscard]] std::size_t column(double x_mm) const;
    [[nodiscard]] std::size_t row(double y_mm) const;
    template <typename Take>
    void walk(const geometry::Point& from, const geometry::Point& to, Take take) const;

    plan::Range x_mm_, y_mm_;
    double cell_mm_ = 1.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<float> heights_;
};

}  // namespace durograde::grade
