#include "region/slice.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace durograde::region {
namespace {

/// A middle on the very edge of a bead is outside, along rows and along columns alike.
constexpr double on_edge_cells = 1e-9;

/// The stretch of a line of cells that lies within a bead.
struct Chord {
    double begin = 1e30, end = -1e30;

    void include(double at) {
        begin = std::min(begin, at);
        end = std::max(end, at);
    }
};

/// A bead in cells: `u` along the lines of cells, `v` across them.
class Capsule {
  public:
    Capsule(double u0, double v0, double u1, double v1, double radius)
        : u_{u0, u1}, v_{v0, v1}, radius_(radius) {
        const double du = u1 - u0, dv = v1 - v0, length = std::hypot(du, dv);
        leans_ = length > 0.0 && dv != 0.0;
        if (!leans_) return;
        per_line_ = du / dv;
        shift_u_ = -dv / length * radius;
        shift_v_ = du / length * radius;
        share_ = 1.0 / dv;
    }

    [[nodiscard]] double low() const { return std::min(v_[0], v_[1]) - radius_; }
    [[nodiscard]] double high() const { return std::max(v_[0], v_[1]) + radius_; }

    /// Where the line at `at` crosses it. A capsule is convex: there is one stretch at most.
    [[nodiscard]] Chord chord(double at) const {
        Chord chord;
        for (std::size_t end = 0; end < 2; ++end) {
            const double off = at - v_[end], square = radius_ * radius_ - off * off;
            if (square < 0.0) continue;
            const double half = std::sqrt(square);
            chord.include(u_[end] - half);
            chord.include(u_[end] + half);
        }
        if (!leans_) return chord;
        for (const double side : {-1.0, 1.0}) {
            const double along = at - v_[0] - side * shift_v_, share = along * share_;
            if (share >= 0.0 && share <= 1.0)
                chord.include(u_[0] + side * shift_u_ + along * per_line_);
        }
        return chord;
    }

  private:
    std::array<double, 2> u_, v_;
    double radius_;
    bool leans_ = false;
    double per_line_ = 0.0, shift_u_ = 0.0, shift_v_ = 0.0, share_ = 0.0;
};

/// Calls `take(line, chord)` for each of `lines` lines that the bead crosses.
template <typename Take>
void for_chords(const Capsule& capsule, std::size_t lines, Take take) {
    const double low = capsule.low() + on_edge_cells, high = capsule.high() - on_edge_cells;
    const auto last = static_cast<long>(std::min(std::floor(high), static_cast<double>(lines) - 1));
    for (auto line = static_cast<long>(std::max(0.0, std::ceil(low))); line <= last; ++line) {
        const Chord chord = capsule.chord(static_cast<double>(line));
        if (chord.begin <= chord.end) take(static_cast<std::size_t>(line), chord);
    }
}

/// The middles of cells, [first, last], that a chord holds; empty where first > last.
struct Cells {
    long first = 0, last = -1;

    Cells(const Chord& chord, std::size_t count)
        : first(static_cast<long>(std::max(0.0, std::ceil(chord.begin + on_edge_cells)))),
          last(static_cast<long>(
              std::min(std::floor(chord.end - on_edge_cells), static_cast<double>(count) - 1))) {}
};

void raise(std::uint8_t& edge, double beyond) {
    const double kept = std::clamp(beyond * CellEdges::per_cell, 0.0, CellEdges::per_cell);
    edge = std::max(edge, static_cast<std::uint8_t>(std::lround(kept)));
}

std::uint32_t root(std::vector<std::uint32_t>& parent, std::uint32_t at) {
    while (parent[at] != at) at = parent[at] = parent[parent[at]];
    return at;
}

void widen_line(const std::uint8_t* in, std::uint8_t* out, std::size_t count) {
    for (std::size_t i = 0; i < count; ++i) out[i] = static_cast<std::uint8_t>(out[i] | in[i]);
}

}  // namespace

void Slice::clear(const Grid& grid) {
    grid_ = grid;
    covered_.assign(grid.size(), 0);
    edges_.assign(grid.size(), 0);
}

void Slice::paint(const geometry::Point& from, const geometry::Point& to, double width_mm,
                  bool with_edges) {
    const double per_mm = 1.0 / grid_.cell_mm;
    const double x0 = (from.x - grid_.low_x_mm) * per_mm, x1 = (to.x - grid_.low_x_mm) * per_mm;
    const double y0 = (from.y - grid_.low_y_mm) * per_mm, y1 = (to.y - grid_.low_y_mm) * per_mm;
    const double radius = width_mm / 2 * per_mm;
    for_chords(
        Capsule(x0, y0, x1, y1, radius), grid_.rows,
        [&](std::size_t line, const Chord& chord) { paint_row(line, chord.begin, chord.end); });
    if (!with_edges) return;
    for_chords(
        Capsule(y0, x0, y1, x1, radius), grid_.columns,
        [&](std::size_t line, const Chord& chord) { paint_column(line, chord.begin, chord.end); });
}

void Slice::paint_row(std::size_t row, double begin, double end) {
    const Cells cells({begin, end}, grid_.columns);
    if (cells.first > cells.last) return;
    const std::size_t at = row * grid_.columns;
    const auto first = at + static_cast<std::size_t>(cells.first);
    const auto last = at + static_cast<std::size_t>(cells.last);
    std::fill(covered_.begin() + static_cast<std::ptrdiff_t>(first),
              covered_.begin() + static_cast<std::ptrdiff_t>(last) + 1, std::uint8_t{1});
    raise(edges_.left[first], static_cast<double>(cells.first) - begin);
    raise(edges_.right[last], end - static_cast<double>(cells.last));
}

void Slice::paint_column(std::size_t column, double begin, double end) {
    const Cells cells({begin, end}, grid_.rows);
    if (cells.first > cells.last) return;
    const auto first = static_cast<std::size_t>(cells.first) * grid_.columns + column;
    const auto last = static_cast<std::size_t>(cells.last) * grid_.columns + column;
    raise(edges_.down[first], static_cast<double>(cells.first) - begin);
    raise(edges_.up[last], end - static_cast<double>(cells.last));
}

/// Every cell within `reach` rows and columns of one that is set becomes set.
void Slice::widen(std::vector<std::uint8_t>& cells, std::size_t reach) {
    const std::size_t columns = grid_.columns, rows = grid_.rows;
    for (std::size_t time = 0; time < reach; ++time) {
        other_ = cells;
        for (std::size_t row = 0; row < rows; ++row) {
            const std::uint8_t* in = cells.data() + row * columns;
            std::uint8_t* out = other_.data() + row * columns;
            widen_line(in, out + 1, columns - 1);
            widen_line(in + 1, out, columns - 1);
        }
        cells = other_;
        for (std::size_t row = 0; row + 1 < rows; ++row) {
            widen_line(other_.data() + row * columns, cells.data() + (row + 1) * columns, columns);
            widen_line(other_.data() + (row + 1) * columns, cells.data() + row * columns, columns);
        }
    }
}

void Slice::find_spaces(double closed_mm) {
    reach_ = static_cast<std::size_t>(std::max(1L, std::lround(closed_mm / 2 / grid_.cell_mm)));
    wide_ = covered_;
    widen(wide_, reach_);
    stretches_.clear();
    parent_.assign(1, 0);    // around the part: all that touches the rim of the grid
    std::size_t before = 0;  // first stretch of the row before
    for (std::uint32_t row = 0; row < grid_.rows; ++row) {
        const std::size_t first = stretches_.size();
        const std::uint8_t* cells = wide_.data() + row * grid_.columns;
        const auto columns = static_cast<std::uint32_t>(grid_.columns);
        for (std::uint32_t begin = 0, end = 0; begin < columns; begin = end) {
            while (begin < columns && cells[begin] != 0) ++begin;
            end = begin;
            while (end < columns && cells[end] == 0) ++end;
            if (begin == end) break;
            const auto own = static_cast<std::uint32_t>(parent_.size());
            const bool at_rim = row == 0 || row + 1 == grid_.rows || begin == 0 || end == columns;
            parent_.push_back(at_rim ? 0 : own);
            while (before < first && stretches_[before].end <= begin) ++before;
            for (std::size_t i = before; i < first && stretches_[i].begin < end; ++i) {
                const std::uint32_t a = root(parent_, stretches_[i].space), b = root(parent_, own);
                parent_[std::max(a, b)] = std::min(a, b);
            }
            stretches_.push_back({row, begin, end, own});
        }
        before = first;
    }
    spaces_ = 0;
    std::vector<std::uint32_t>& number = parent_;  // of a root, once it is met: never below itself
    for (std::uint32_t i = 0; i < number.size(); ++i) {
        number[i] = number[i] == i ? spaces_++ : number[number[i]];
    }
    for (Stretch& stretch : stretches_) stretch.space = number[stretch.space];
}

std::vector<bool> Slice::roomy_spaces(double width_mm) {
    std::vector<bool> roomy(spaces_);
    roomy.front() = true;
    if (spaces_ == 1) return roomy;
    // A square of so many cells is left wherever beads widened by half of them leave a cell.
    const auto reach = static_cast<std::size_t>(std::lround(width_mm / 2 / grid_.cell_mm));
    std::vector<std::uint8_t> taken = covered_;
    widen(taken, std::max(reach, reach_));
    for (const Stretch& stretch : stretches_) {
        const std::uint8_t* row = taken.data() + stretch.row * grid_.columns;
        if (std::find(row + stretch.begin, row + stretch.end, 0) != row + stretch.end)
            roomy[stretch.space] = true;
    }
    return roomy;
}

void Slice::settle(const std::vector<bool>& is_open) {
    outside_.assign(grid_.size(), 0);
    wanted_edges_ = nullptr;
    for (const Stretch& stretch : stretches_) {
        if (!is_open[stretch.space]) continue;
        const auto row =
            outside_.begin() + static_cast<std::ptrdiff_t>(stretch.row * grid_.columns);
        std::fill(row + stretch.begin, row + stretch.end, std::uint8_t{1});
    }
    widen(outside_, reach_);
    for (std::size_t i = 0; i < outside_.size(); ++i) {
        if (covered_[i] != 0) outside_[i] = 0;
    }
}

}  // namespace durograde::region
