#include "check/printed_lines.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

constexpr double cell_mm = 2.0;
constexpr double chord_mm = 0.5;  // of arcs

/// Twice the area of a, b, c: positive where c lies to the left.
double side(const Point& a, const Point& b, const Point& c) {
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

}  // namespace

PrintedLines::PrintedLines(const plan::Range& x_mm, const plan::Range& y_mm)
    : x_mm_(x_mm),
      y_mm_(y_mm),
      columns_(static_cast<std::size_t>((x_mm.high - x_mm.low) / cell_mm) + 1),
      rows_(static_cast<std::size_t>((y_mm.high - y_mm.low) / cell_mm) + 1),
      first_(columns_ * rows_, -1) {}

/// All cells of the boxes around pieces of the line that are a cell long. What lies beside the bed
/// counts for the cells at its edge.
template <typename Take>
void PrintedLines::for_cells(const Point& from, const Point& to, Take take) const {
    const auto cell = [](double at, double low, std::size_t count) {
        return static_cast<std::size_t>(
            std::clamp((at - low) / cell_mm, 0.0, static_cast<double>(count - 1)));
    };
    const int pieces = static_cast<int>(distance_xy(from, to) / cell_mm) + 1;
    Point a = from;
    for (int i = 1; i <= pieces; ++i) {
        const Point b = between(from, to, static_cast<double>(i) / pieces);
        const std::size_t left = cell(std::min(a.x, b.x), x_mm_.low, columns_);
        const std::size_t right = cell(std::max(a.x, b.x), x_mm_.low, columns_);
        const std::size_t top = cell(std::max(a.y, b.y), y_mm_.low, rows_);
        for (std::size_t row = cell(std::min(a.y, b.y), y_mm_.low, rows_); row <= top; ++row)
            for (std::size_t column = left; column <= right; ++column)
                take(row * columns_ + column);
        a = b;
    }
}

void PrintedLines::print(const Act& bead) {
    constexpr double same_height_mm = 1e-6;
    if (std::abs(bead.to.z - z_mm_) > same_height_mm) {
        clear();
        z_mm_ = bead.to.z;
    }
    if (!bead.is_arc) return add({bead.from, bead.to});
    const int chords = static_cast<int>(bead.arc.length_mm() / chord_mm) + 1;
    Point a = bead.from;
    for (int i = 1; i <= chords; ++i) {
        const Point b = bead.arc.at(static_cast<double>(i) / chords, bead.from.z, bead.to.z);
        add({a, b});
        a = b;
    }
}

void PrintedLines::clear() {
    for (const std::uint32_t cell : touched_) first_[cell] = -1;
    touched_.clear();
    entries_.clear();
    lines_.clear();
}

void PrintedLines::add(const Line& line) {
    const auto index = static_cast<std::uint32_t>(lines_.size());
    lines_.push_back(line);
    for_cells(line.from, line.to, [&](std::size_t cell) {
        std::int32_t& first = first_[cell];
        if (first < 0) touched_.push_back(static_cast<std::uint32_t>(cell));
        if (first >= 0 && entries_[static_cast<std::size_t>(first)].line == index) return;
        entries_.push_back({index, first});
        first = static_cast<std::int32_t>(entries_.size()) - 1;
    });
}

bool PrintedLines::are_crossed(const Point& from, const Point& to, double apart_mm) const {
    const auto is_crossed = [&](const Line& line) {
        const double a = side(from, to, line.from), b = side(from, to, line.to);
        const double c = side(line.from, line.to, from), d = side(line.from, line.to, to);
        if (!(a * b < 0 && c * d < 0)) return false;
        const Point at = between(from, to, c / (c - d));
        return distance_xy(at, from) > apart_mm && distance_xy(at, to) > apart_mm;
    };
    bool crossed = false;
    for_cells(from, to, [&](std::size_t cell) {
        for (std::int32_t i = first_[cell]; i >= 0 && !crossed;) {
            const Entry& entry = entries_[static_cast<std::size_t>(i)];
            crossed = is_crossed(lines_[entry.line]);
            i = entry.next;
        }
    });
    return crossed;
}

}  // namespace durograde::check
