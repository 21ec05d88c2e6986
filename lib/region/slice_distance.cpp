#include <algorithm>
#include <cmath>

#include "region/slice.hpp"

/// How far within its layer each cell lies from the outside.
namespace durograde::region {
namespace {

constexpr float far_cells = 1e6F;

std::int16_t square(float cells, float scale, std::int16_t most) {
    return static_cast<std::int16_t>(
        std::min(cells * cells * scale + 0.5F, static_cast<float>(most)));
}

}  // namespace

void lower(std::span<std::int16_t> out, std::span<const std::int16_t> in, std::int16_t more) {
    const std::size_t count = std::min(out.size(), in.size());
    std::int16_t* to = out.data();
    const std::int16_t* from = in.data();
    for (std::size_t i = 0; i < count; ++i) {
        const auto other = static_cast<std::int16_t>(from[i] + more);
        to[i] = to[i] < other ? to[i] : other;
    }
}

void Slice::leave(std::span<const std::uint8_t> is_wanted, const CellEdges& edges) {
    wanted_edges_ = &edges;
    for (std::size_t i = 0; i < outside_.size(); ++i) {
        if (is_wanted[i] == 0) outside_[i] = 1;
    }
}

/// How far what is inside goes on beyond the middle of its last cell.
float Slice::edge_cells(std::size_t inside, std::size_t beyond, Edges side) const {
    constexpr float to_cells = 1.0F / static_cast<float>(CellEdges::per_cell);
    const bool is_bead = covered_[inside] != 0 && covered_[beyond] == 0;
    if (is_bead) return static_cast<float>((edges_.*side)[inside]) * to_cells;
    if (wanted_edges_ == nullptr) return 0.5F;
    return static_cast<float>((wanted_edges_->*side)[inside]) * to_cells;
}

void Slice::along_rows() {
    gap_.assign(grid_.size(), far_cells);
    for (std::size_t row = 0; row < grid_.rows; ++row) {
        const std::size_t begin = row * grid_.columns, end = begin + grid_.columns;
        float distance = far_cells;
        for (std::size_t i = begin; i < end; ++i) {
            const bool was_outside = i > begin && outside_[i - 1] != 0;
            distance = outside_[i] != 0 ? 0.0F
                       : was_outside    ? edge_cells(i, i - 1, &CellEdges::left)
                                        : distance + 1.0F;
            gap_[i] = distance;
        }
        distance = far_cells;
        for (std::size_t i = end; i-- > begin;) {
            const bool was_outside = i + 1 < end && outside_[i + 1] != 0;
            distance = outside_[i] != 0 ? 0.0F
                       : was_outside    ? edge_cells(i, i + 1, &CellEdges::right)
                                        : distance + 1.0F;
            gap_[i] = std::min(gap_[i], distance);
        }
    }
}

void Slice::along_columns() {
    const std::size_t columns = grid_.columns;
    gap_.assign(grid_.size(), far_cells);
    for (std::size_t row = 0; row < grid_.rows; ++row) {
        for (std::size_t i = row * columns; i < (row + 1) * columns; ++i) {
            const bool was_outside = row > 0 && outside_[i - columns] != 0;
            gap_[i] = outside_[i] != 0 ? 0.0F
                      : was_outside    ? edge_cells(i, i - columns, &CellEdges::down)
                      : row > 0        ? gap_[i - columns] + 1.0F
                                       : far_cells;
        }
    }
    above_.assign(columns, far_cells);
    for (std::size_t row = grid_.rows; row-- > 0;) {
        for (std::size_t column = 0; column < columns; ++column) {
            const std::size_t i = row * columns + column;
            const bool was_outside = row + 1 < grid_.rows && outside_[i + columns] != 0;
            above_[column] = outside_[i] != 0 ? 0.0F
                             : was_outside    ? edge_cells(i, i + columns, &CellEdges::up)
                                              : above_[column] + 1.0F;
            gap_[i] = std::min(gap_[i], above_[column]);
        }
    }
}

/// The nearest place outside lies on some row, or on some column: along that row (column) the edge
/// is known as it is, and the leg across is a whole number of cells. As Felzenszwalb and
/// Huttenlocher (Distance Transforms of Sampled Functions, Theory of Computing 8, 2012), axis by
/// axis; here each axis is searched as far as `most` reaches.
void Slice::measure(double unit_mm2, std::int16_t most, std::vector<std::int16_t>& squares) {
    const std::size_t columns = grid_.columns, size = grid_.size();
    const double cell2 = grid_.cell_mm * grid_.cell_mm / unit_mm2;
    const auto scale = static_cast<float>(cell2);
    const auto leg = [&](std::size_t cells) {
        return static_cast<double>(cells) * static_cast<double>(cells) * cell2 + 0.5;
    };
    edge_.resize(size);
    squares.resize(size);
    along_rows();
    for (std::size_t i = 0; i < size; ++i) edge_[i] = square(gap_[i], scale, most);
    squares = edge_;
    const std::span<std::int16_t> out(squares);
    const std::span<const std::int16_t> in(edge_);
    for (std::size_t rows = 1; rows < grid_.rows && leg(rows) < most; ++rows) {
        const std::size_t off = rows * columns;
        const auto more = static_cast<std::int16_t>(leg(rows));
        lower(out.subspan(off), in.first(size - off), more);
        lower(out.first(size - off), in.subspan(off), more);
    }
    along_columns();
    for (std::size_t i = 0; i < size; ++i) edge_[i] = square(gap_[i], scale, most);
    lower(out, in, 0);
    for (std::size_t cells = 1; cells < columns && leg(cells) < most; ++cells) {
        const auto more = static_cast<std::int16_t>(leg(cells));
        for (std::size_t row = 0; row < size; row += columns) {
            lower(out.subspan(row + cells, columns - cells), in.subspan(row, columns - cells),
                  more);
            lower(out.subspan(row, columns - cells), in.subspan(row + cells, columns - cells),
                  more);
        }
    }
}

}  // namespace durograde::region
