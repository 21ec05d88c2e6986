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

/// All cells of the box around pieces of the line that are a cell long.
template <typename Take>
void PrintedLines::for_cells(const Point& from, const Point& to, Take take) {
    const auto cell = [](double at) { return static_cast<std::int64_t>(std::floor(at / cell_mm)); };
    const int pieces = static_cast<int>(distance_xy(from, to) / cell_mm) + 1;
    Point a = from;
    for (int i = 1; i <= pieces; ++i) {
        const Point b = between(from, to, static_cast<double>(i) / pieces);
        for (auto row = cell(std::min(a.y, b.y)); row <= cell(std::max(a.y, b.y)); ++row)
            for (auto at = cell(std::min(a.x, b.x)); at <= cell(std::max(a.x, b.x)); ++at)
                take(static_cast<std::uint64_t>(row) << 32 ^
                     (static_cast<std::uint64_t>(at) & 0xffffffffU));
        a = b;
    }
}

void PrintedLines::print(const Act& bead) {
    constexpr double same_height_mm = 1e-6;
    if (std::abs(bead.to.z - z_mm_) > same_height_mm) {
        lines_.clear();
        by_cell_.clear();
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

void PrintedLines::add(const Line& line) {
    const auto index = static_cast<std::uint32_t>(lines_.size());
    lines_.push_back(line);
    for_cells(line.from, line.to, [&](std::uint64_t cell) {
        std::vector<std::uint32_t>& entries = by_cell_[cell];
        if (entries.empty() || entries.back() != index) entries.push_back(index);
    });
}

bool PrintedLines::are_crossed(const Point& from, const Point& to, double apart_mm) const {
    bool crossed = false;
    for_cells(from, to, [&](std::uint64_t cell) {
        const auto found = by_cell_.find(cell);
        if (crossed || found == by_cell_.end()) return;
        crossed = std::any_of(found->second.begin(), found->second.end(), [&](std::uint32_t index) {
            const Line& line = lines_[index];
            const double a = side(from, to, line.from), b = side(from, to, line.to);
            const double c = side(line.from, line.to, from);
            const double d = side(line.from, line.to, to);
            if (!(a * b < 0 && c * d < 0)) return false;
            const Point at = between(from, to, c / (c - d));
            return distance_xy(at, from) > apart_mm && distance_xy(at, to) > apart_mm;
        });
    });
    return crossed;
}

}  // namespace durograde::check
