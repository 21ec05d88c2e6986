#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/path.hpp"

namespace durograde::region {

/// Square cells around one part. Cells are told by their middles.
struct Grid {
    double low_x_mm = 0.0, low_y_mm = 0.0;  ///< middle of the first cell
    double cell_mm = 0.2;
    std::size_t columns = 0, rows = 0;

    [[nodiscard]] std::size_t size() const noexcept { return columns * rows; }
    [[nodiscard]] double x_mm(std::size_t column) const noexcept {
        return low_x_mm + static_cast<double>(column) * cell_mm;
    }
    [[nodiscard]] double y_mm(std::size_t row) const noexcept {
        return low_y_mm + static_cast<double>(row) * cell_mm;
    }
};

/// Beyond the middles of cells: how far what they are of goes on, in 1/255 of a cell.
struct CellEdges {
    static constexpr double per_cell = 255.0;
    std::vector<std::uint8_t> right, left, up, down;

    void assign(std::size_t cells, std::uint8_t value) {
        for (auto* edges : {&right, &left, &up, &down}) edges->assign(cells, value);
    }
};

/// What the beads of one layer of one part cover, seen from above. Along each row and column of
/// cells the edge of the beads is kept as it is, not rounded to cells.
class Slice {
  public:
    /// Nothing covered. Memory is reused.
    void clear(const Grid& grid);
    /// A straight bead of this width with round ends. What lies off the grid is left out. Without
    /// edges, nothing can be measured.
    void paint(const geometry::Point& from, const geometry::Point& to, double width_mm,
               bool with_edges);

    /// Finds the spaces that the beads leave: connected cells whose way is wider than `closed_mm`.
    /// Number 0 is the space around the part, wherever the rim of the grid is reached. Call after
    /// the last `paint`.
    void find_spaces(double closed_mm);
    [[nodiscard]] std::uint32_t spaces() const noexcept { return spaces_; }
    /// Which spaces hold a square of this width somewhere. Sparse infill leaves narrower ones.
    [[nodiscard]] std::vector<bool> roomy_spaces(double width_mm);

    /// A stretch of one row that lies in one space.
    struct Stretch {
        std::uint32_t row = 0, begin = 0, end = 0, space = 0;
    };
    [[nodiscard]] std::span<const Stretch> stretches() const noexcept { return stretches_; }

    /// Lets the spaces for which `is_open` is true be the outside; all else is inside.
    void settle(const std::vector<bool>& is_open);
    [[nodiscard]] bool is_outside(std::size_t cell) const noexcept { return outside_[cell] != 0; }

    /// Lets what is outside now, and every cell that `is_wanted` does not hold, be outside from
    /// here on, until it is settled anew. `edges` tells where the wanted ends between cells of
    /// which both are inside; it must stand until they are measured.
    void leave(std::span<const std::uint8_t> is_wanted, const CellEdges& edges);

    /// Squared distance within the layer from each cell to the outside, in units of
    /// `unit_mm2`; no more than `most`, which stands for all that is farther.
    void measure(double unit_mm2, std::int16_t most, std::vector<std::int16_t>& squares);

  private:
    void paint_row(std::size_t row, double begin, double end);
    void paint_column(std::size_t column, double begin, double end);
    void widen(std::vector<std::uint8_t>& cells, std::size_t reach);
    using Edges = std::vector<std::uint8_t> CellEdges::*;
    [[nodiscard]] float edge_cells(std::size_t inside, std::size_t beyond, Edges side) const;
    void along_rows();
    void along_columns();

    Grid grid_;
    std::size_t reach_ = 1;  ///< cells by which the beads are widened to close narrow ways
    std::uint32_t spaces_ = 0;
    std::vector<std::uint8_t> covered_, outside_, wide_, other_;
    CellEdges edges_;  ///< of the beads
    const CellEdges* wanted_edges_ = nullptr;
    std::vector<Stretch> stretches_;
    std::vector<std::uint32_t> parent_;
    std::vector<float> gap_, above_;
    std::vector<std::int16_t> edge_;
};

/// out[i] = min(out[i], in[i] + more), for squared distances of which `more` is a leg's.
void lower(std::span<std::int16_t> out, std::span<const std::int16_t> in, std::int16_t more);

}  // namespace durograde::region
