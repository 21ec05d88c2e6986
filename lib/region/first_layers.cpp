#include "region/first_layers.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

constexpr double most_squares = 4e6;
constexpr double shortest_mm = 1e-3;  // a bead of no length has a place nevertheless

}  // namespace

FirstLayers::FirstLayers(const plan::Range& x_mm, const plan::Range& y_mm)
    : low_x_mm_(x_mm.low), low_y_mm_(y_mm.low) {
    const double width = x_mm.high - x_mm.low, depth = y_mm.high - y_mm.low;
    squares_per_mm_ = std::min(1.0, std::sqrt(most_squares / (width * depth)));
    // One square of margin all around; beads beyond the bed fall on it.
    columns_ = static_cast<std::size_t>(std::ceil(width * squares_per_mm_)) + 3;
    rows_ = static_cast<std::size_t>(std::ceil(depth * squares_per_mm_)) + 3;
    printed_in_.resize(columns_ * rows_);
}

void FirstLayers::begin_layer() {
    ++layer_;
    length_mm_ = over_mm_ = 0.0;
}

bool FirstLayers::is_over(std::size_t column, std::size_t row) const noexcept {
    const auto is_older = [this](std::uint32_t printed) {
        return printed != 0 && printed != layer_;
    };
    // In most layers the square itself tells.
    if (is_older(printed_in_[row * columns_ + column])) return true;
    for (std::size_t r = row - 1; r <= row + 1; ++r) {
        for (std::size_t c = column - 1; c <= column + 1; ++c) {
            if (is_older(printed_in_[r * columns_ + c])) return true;
        }
    }
    return false;
}

void FirstLayers::add(const geometry::Point& from, const geometry::Point& to) {
    const double length = std::max(geometry::distance_xy(from, to), shortest_mm);
    const int samples = static_cast<int>(length * squares_per_mm_) + 1;
    const auto square = [](double at, std::size_t count) {
        return static_cast<std::size_t>(std::clamp(at, 1.0, static_cast<double>(count - 2)));
    };
    for (int i = 0; i < samples; ++i) {
        const double share = (i + 0.5) / samples;
        const double x = from.x + (to.x - from.x) * share, y = from.y + (to.y - from.y) * share;
        const std::size_t column = square((x - low_x_mm_) * squares_per_mm_ + 1, columns_);
        const std::size_t row = square((y - low_y_mm_) * squares_per_mm_ + 1, rows_);
        if (is_over(column, row)) over_mm_ += length / samples;
        std::uint32_t& printed = printed_in_[row * columns_ + column];
        if (printed == 0) printed = layer_;
    }
    length_mm_ += length;
}

}  // namespace durograde::region
