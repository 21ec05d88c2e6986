#include "region/line_index.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

constexpr double most_squares = 4e6;

double distance_mm(const FlatPoint& point, const FlatPoint& a, const FlatPoint& b) {
    const double dx = b.x_mm - a.x_mm, dy = b.y_mm - a.y_mm;
    const double square = dx * dx + dy * dy;
    const double along = (point.x_mm - a.x_mm) * dx + (point.y_mm - a.y_mm) * dy;
    const double share = square > 0 ? std::clamp(along / square, 0.0, 1.0) : 0.0;
    return std::hypot(point.x_mm - a.x_mm - dx * share, point.y_mm - a.y_mm - dy * share);
}

}  // namespace

LineIndex::LineIndex(std::span<const FlatPoint> ends, double reach_mm)
    : ends_(ends), square_mm_(reach_mm) {
    if (ends_.empty()) return;
    fit();
    first_.assign(columns_ * rows_ + 1, 0);
    for (std::size_t line = 0; line < ends_.size() / 2; ++line)
        for_squares(line, [&](std::size_t square) { ++first_[square + 1]; });
    for (std::size_t i = 1; i < first_.size(); ++i) first_[i] += first_[i - 1];
    lines_.resize(first_.back());
    std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
    for (std::size_t line = 0; line < ends_.size() / 2; ++line)
        for_squares(line, [&](std::size_t square) {
            lines_[next[square]++] = static_cast<std::uint32_t>(line);
        });
}

/// Squares as large as the reach, larger where that were too many.
void LineIndex::fit() {
    const auto by_x = [](const FlatPoint& a, const FlatPoint& b) { return a.x_mm < b.x_mm; };
    const auto by_y = [](const FlatPoint& a, const FlatPoint& b) { return a.y_mm < b.y_mm; };
    const auto [left, right] = std::minmax_element(ends_.begin(), ends_.end(), by_x);
    const auto [low, high] = std::minmax_element(ends_.begin(), ends_.end(), by_y);
    const double width = right->x_mm - left->x_mm, depth = high->y_mm - low->y_mm;
    square_mm_ = std::max(square_mm_, std::sqrt(width * depth / most_squares));
    low_x_mm_ = left->x_mm;
    low_y_mm_ = low->y_mm;
    columns_ = static_cast<std::size_t>(width / square_mm_) + 1;
    rows_ = static_cast<std::size_t>(depth / square_mm_) + 1;
}

/// Calls `take` with the squares of the boxes around the line's stretches, each as long as a
/// square: all that it passes, and some beside.
template <typename Take>
void LineIndex::for_squares(std::size_t line, Take take) const {
    const FlatPoint &a = ends_[2 * line], &b = ends_[2 * line + 1];
    const double length = std::hypot(b.x_mm - a.x_mm, b.y_mm - a.y_mm);
    const int pieces = static_cast<int>(length / square_mm_) + 1;
    const auto column = [&](double share) {
        const double x = a.x_mm + (b.x_mm - a.x_mm) * share - low_x_mm_;
        return std::min(static_cast<std::size_t>(std::max(x, 0.0) / square_mm_), columns_ - 1);
    };
    const auto row = [&](double share) {
        const double y = a.y_mm + (b.y_mm - a.y_mm) * share - low_y_mm_;
        return std::min(static_cast<std::size_t>(std::max(y, 0.0) / square_mm_), rows_ - 1);
    };
    for (int i = 0; i < pieces; ++i) {
        const double from = 1.0 * i / pieces, to = (i + 1.0) / pieces;
        const auto [left, right] = std::minmax({column(from), column(to)});
        const auto [low, high] = std::minmax({row(from), row(to)});
        for (std::size_t r = low; r <= high; ++r) {
            for (std::size_t c = left; c <= right; ++c) take(r * columns_ + c);
        }
    }
}

std::optional<double> LineIndex::distance_mm(const FlatPoint& point) const {
    if (ends_.empty()) return std::nullopt;
    const auto column = static_cast<long>(std::floor((point.x_mm - low_x_mm_) / square_mm_));
    const auto row = static_cast<long>(std::floor((point.y_mm - low_y_mm_) / square_mm_));
    double nearest = square_mm_;
    bool found = false;
    for (long r = std::max(row - 1, 0L); r <= std::min(row + 1, static_cast<long>(rows_) - 1);
         ++r) {
        for (long c = std::max(column - 1, 0L);
             c <= std::min(column + 1, static_cast<long>(columns_) - 1); ++c) {
            const auto square =
                static_cast<std::size_t>(r) * columns_ + static_cast<std::size_t>(c);
            for (std::uint32_t i = first_[square]; i < first_[square + 1]; ++i) {
                const std::size_t line = lines_[i];
                const double away =
                    region::distance_mm(point, ends_[2 * line], ends_[2 * line + 1]);
                if (away > nearest) continue;
                nearest = away;
                found = true;
            }
        }
    }
    return found ? std::optional(nearest) : std::nullopt;
}

}  // namespace durograde::region
