#include "check/segment_index.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {

void SegmentIndex::build(const Layer& layer) {
    entries_.clear();
    fit(layer);
    for (std::uint32_t i = 0; i < layer.segments.size(); ++i) {
        const Segment& segment = layer.segments[i];
        if (segment.arc < 0) {
            add_line(i, layer.start_of(i), segment.to);
        } else {
            const Arc& arc = layer.arcs[static_cast<std::size_t>(segment.arc)];
            const double reach = arc.radius + reach_mm;
            add_box(i, arc.center_x - reach, arc.center_y - reach, arc.center_x + reach,
                    arc.center_y + reach);
        }
    }
}

void SegmentIndex::fit(const Layer& layer) {
    double high_x = -1e30, high_y = -1e30;
    low_x_ = low_y_ = 1e30;
    const auto include = [&](double x, double y) {
        low_x_ = std::min(low_x_, x);
        low_y_ = std::min(low_y_, y);
        high_x = std::max(high_x, x);
        high_y = std::max(high_y, y);
    };
    for (const Stroke& stroke : layer.strokes) include(stroke.start.x, stroke.start.y);
    for (const Segment& segment : layer.segments) include(segment.to.x, segment.to.y);
    for (const Arc& arc : layer.arcs) {
        include(arc.center_x - arc.radius, arc.center_y - arc.radius);
        include(arc.center_x + arc.radius, arc.center_y + arc.radius);
    }
    columns_ = rows_ = 0;
    if (high_x < low_x_) return;
    low_x_ -= cell_mm;
    low_y_ -= cell_mm;
    columns_ = static_cast<std::size_t>((high_x - low_x_) / cell_mm) + 2;
    rows_ = static_cast<std::size_t>((high_y - low_y_) / cell_mm) + 2;
    first_.assign(columns_ * rows_, -1);
}

void SegmentIndex::add(std::uint32_t segment, std::size_t row, std::size_t column) {
    std::int32_t& first = first_[row * columns_ + column];
    entries_.push_back({segment, first});
    first = static_cast<std::int32_t>(entries_.size()) - 1;
}

/// Row by row, the columns that the line passes there, with a margin on all sides.
void SegmentIndex::add_line(std::uint32_t segment, const Point& from, const Point& to) {
    const Point& low = from.y <= to.y ? from : to;
    const Point& high = from.y <= to.y ? to : from;
    const auto first_row = static_cast<std::size_t>((low.y - reach_mm - low_y_) / cell_mm);
    const auto last_row = static_cast<std::size_t>((high.y + reach_mm - low_y_) / cell_mm);
    const double rise = high.y - low.y;
    for (std::size_t row = first_row; row <= last_row; ++row) {
        double left = std::min(low.x, high.x), right = std::max(low.x, high.x);
        if (rise > 0 && last_row > first_row) {
            const double slope = (high.x - low.x) / rise;
            const double bottom = low_y_ + static_cast<double>(row) * cell_mm - reach_mm - low.y;
            const double a = low.x + slope * std::clamp(bottom, 0.0, rise);
            const double b = low.x + slope * std::clamp(bottom + cell_mm + 2 * reach_mm, 0.0, rise);
            left = std::min(a, b);
            right = std::max(a, b);
        }
        const auto first = static_cast<std::size_t>((left - reach_mm - low_x_) / cell_mm);
        const auto last = static_cast<std::size_t>((right + reach_mm - low_x_) / cell_mm);
        for (std::size_t column = first; column <= last; ++column) add(segment, row, column);
    }
}

void SegmentIndex::add_box(std::uint32_t segment, double low_x, double low_y, double high_x,
                           double high_y) {
    const auto cell = [](double at, double low, std::size_t count) {
        return std::min(static_cast<std::size_t>(std::max(0.0, (at - low) / cell_mm)), count - 1);
    };
    for (std::size_t row = cell(low_y, low_y_, rows_); row <= cell(high_y, low_y_, rows_); ++row) {
        for (std::size_t column = cell(low_x, low_x_, columns_);
             column <= cell(high_x, low_x_, columns_); ++column) {
            add(segment, row, column);
        }
    }
}

}  // namespace durograde::check
