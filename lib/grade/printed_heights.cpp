#include "grade/printed_heights.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::grade {
namespace {

constexpr double most_cells = 1e6;
constexpr float nothing_mm = -1e9F;

}  // namespace

PrintedHeights::PrintedHeights(const plan::Range& x_mm, const plan::Range& y_mm)
    : x_mm_(x_mm), y_mm_(y_mm) {
    const double area_mm2 = (x_mm.high - x_mm.low) * (y_mm.high - y_mm.low);
    cell_mm_ = std::max(cell_mm_, std::sqrt(area_mm2 / most_cells));
    columns_ = static_cast<std::size_t>((x_mm.high - x_mm.low) / cell_mm_) + 1;
    rows_ = static_cast<std::size_t>((y_mm.high - y_mm.low) / cell_mm_) + 1;
    heights_.assign(columns_ * rows_, nothing_mm);
}

/// What lies beside the bed counts as its edge.
std::size_t PrintedHeights::column(double x_mm) const {
    const double at = std::clamp(x_mm, x_mm_.low, x_mm_.high) - x_mm_.low;
    return std::min(static_cast<std::size_t>(at / cell_mm_), columns_ - 1);
}

std::size_t PrintedHeights::row(double y_mm) const {
    const double at = std::clamp(y_mm, y_mm_.low, y_mm_.high) - y_mm_.low;
    return std::min(static_cast<std::size_t>(at / cell_mm_), rows_ - 1);
}

/// Calls `take` with column, row and height at places half a cell apart, both ends among them.
template <typename Take>
void PrintedHeights::walk(const geometry::Point& from, const geometry::Point& to, Take take) const {
    const double mm = std::hypot(to.x - from.x, to.y - from.y);
    const auto steps = static_cast<std::size_t>(2 * mm / cell_mm_) + 1;
    for (std::size_t i = 0; i <= steps; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(steps);
        take(column(from.x + (to.x - from.x) * share), row(from.y + (to.y - from.y) * share),
             from.z + (to.z - from.z) * share);
    }
}

void PrintedHeights::print(const geometry::Point& from, const geometry::Point& to) {
    walk(from, to, [this](std::size_t column, std::size_t row, double z_mm) {
        float& height = heights_[row * columns_ + column];
        height = std::max(height, static_cast<float>(z_mm));
    });
}

double PrintedHeights::highest_mm(const geometry::Point& from, const geometry::Point& to) const {
    float highest = nothing_mm;
    walk(from, to, [&](std::size_t column, std::size_t row, double) {
        for (std::size_t y = row - std::min<std::size_t>(row, 1); y <= row + 1 && y < rows_; ++y) {
            for (std::size_t x = column - std::min<std::size_t>(column, 1);
                 x <= column + 1 && x < columns_; ++x)
                highest = std::max(highest, heights_[y * columns_ + x]);
        }
    });
    return static_cast<double>(highest);
}

}  // namespace durograde::grade
