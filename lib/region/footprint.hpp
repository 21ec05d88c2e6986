#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "geometry/path.hpp"
#include "plan/plan.hpp"
#include "region/first_layers.hpp"
#include "region/hull.hpp"
#include "region/own_walls.hpp"

namespace durograde::region {

inline constexpr int outside = -1;  ///< belongs to no part

/// One connected island of beads seen from above.
struct Island {
    double min_x = 0.0, min_y = 0.0, max_x = 0.0, max_y = 0.0;  ///< of its cells' middles, mm
    double area_mm2 = 0.0;
    Hull first_layer;            ///< around the centre lines of its first layer, brim excluded
    std::vector<FlatPoint> rim;  ///< corners of its first layer's largest closed loop, if any
    long first_bead = -1;  ///< islands with a smaller one are begun before; -1 without first layer
    std::uint32_t first_run = 0;  ///< its first layer, of all that were begun, from 1; 0 without
    std::uint32_t stack = 0;      ///< how often height had fallen by then
};

/// The cells of one island, with a margin of one cell around.
struct Mask {
    double low_x_mm = 0.0, low_y_mm = 0.0;  ///< middle of the first cell
    double cell_mm = 0.0;
    std::size_t columns = 0, rows = 0;
    std::vector<std::uint8_t> cells;

    [[nodiscard]] bool at(std::size_t column, std::size_t row) const noexcept {
        return column < columns && row < rows && cells[row * columns + column] != 0;
    }
    [[nodiscard]] double x_mm(std::size_t column) const noexcept {
        return low_x_mm + static_cast<double>(column) * cell_mm;
    }
    [[nodiscard]] double y_mm(std::size_t row) const noexcept {
        return low_y_mm + static_cast<double>(row) * cell_mm;
    }
    /// Calls `take(column, row)` for each cell of the island.
    template <typename Take>
    void for_cells(Take take) const {
        for (std::size_t row = 0; row < rows; ++row) {
            for (std::size_t column = 0; column < columns; ++column) {
                if (cells[row * columns + column] != 0) take(column, row);
            }
        }
    }
};

/// What a program covers of the bed, all layers together, on a grid of 0.2 mm cells (coarser on
/// beds beyond 1 m²). Cells that only layers on the bed cover, and no more than once, are brim or
/// skirt, unless a part's own wall lies on them (`OwnWalls`): they join no island.
class Footprint {
  public:
    Footprint(const plan::Range& x_mm, const plan::Range& y_mm);

    /// A layer as it comes: `rise_mm` is how far it lies above the layer before, 0 for the first of
    /// all and where height falls. Layers stand on the bed or on others: see `FirstLayers`.
    /// `where` is how the caller finds the layer again: an offset, a line.
    void begin_layer(double rise_mm, std::uint64_t where = 0);
    /// A bead that is of no part by its label: it tells of the layer alone.
    void note(const geometry::Point& from, const geometry::Point& to);
    /// Paints the centre line of a straight bead of the present layer.
    void paint(const geometry::Point& from, const geometry::Point& to, double volume_mm3);

    /// The same for an arc.
    void paint(const geometry::Point& from, const geometry::Point& to, const geometry::Arc& arc,
               double volume_mm3);

    /// Finds the islands. Call once, after the last `paint`.
    void find_islands();
    /// Layers that stand on the bed, in order: `where`, and how far above the layer before. With
    /// each, layers count from 0 anew, though it may lie higher than one of a purge line. Complete
    /// after `find_islands`.
    struct Restart {
        std::uint64_t where = 0;
        double rise_mm = 0.0;
    };
    [[nodiscard]] std::vector<Restart> restarts() const;

    /// Mean width of the beads above the first layers: volume = length · width · height.
    [[nodiscard]] double bead_width_mm() const;
    [[nodiscard]] const std::vector<Island>& islands() const noexcept { return islands_; }

    /// The cells of an island, its closed holes included.
    [[nodiscard]] Mask mask(int island) const;

    /// The island at a point, its closed holes included; -1 where there is none.
    [[nodiscard]] int island_at(double x_mm, double y_mm) const;

    /// The island that a bead with its middle here belongs to; -1 where there is none.
    [[nodiscard]] int island_of_bead(double x_mm, double y_mm) const noexcept;

    /// Lets island `island` be part `part` from now on.
    void name_part(int island, int part) { part_of_[static_cast<std::size_t>(island)] = part; }
    /// The part that an island is, or `outside`.
    [[nodiscard]] int part_of(int island) const {
        return part_of_[static_cast<std::size_t>(island)];
    }

    /// The part whose island covers this point, or `outside`.
    [[nodiscard]] int part_at(double x_mm, double y_mm) const noexcept;
    /// The same for a point that may lie up to `reach_mm` beside the part: at the edge of its
    /// beads.
    [[nodiscard]] int part_near(double x_mm, double y_mm, double reach_mm) const noexcept;

  private:
    struct Cell {
        std::uint32_t run : 29 = 0;
        std::uint32_t times : 2 = 0;  ///< layers that cover it: 0, 1, or 2 for more
        std::uint32_t above_first : 1 = 0;
    };
    template <typename Take>
    void for_cells_around(long row, long column, long reach, Take take) const;
    [[nodiscard]] bool is_at_rim(double x_mm, double y_mm) const noexcept;
    [[nodiscard]] std::size_t index(double x_mm, double y_mm) const noexcept;
    [[nodiscard]] bool counts(const Cell& cell) const noexcept;
    /// A first layer.
    struct First {
        std::uint32_t run = 0, stack = 0;
        bool on_bed = true;
        std::uint64_t where = 0;
        double rise_mm = 0.0;
        std::size_t last_point = 0;  ///< past its own
    };
    /// The present layer, while it is not known whether it stands on the bed.
    struct Pending {
        std::vector<std::uint32_t> cells;
        std::size_t first_point = 0;
        std::uint64_t where = 0;
        double rise_mm = 0.0, volume_mm3 = 0.0, side_mm2 = 0.0;
    };
    // Of a label: beads that count lie in the cell itself.
    static constexpr std::uint16_t painted = 0x8000;

    void end_layer();
    void add_above();
    void keep_ends(const geometry::Point& from, const geometry::Point& to);
    template <typename Take>
    void for_cells_under(const FlatPoint& from, const FlatPoint& to, Take take) const;
    void keep_own_walls();
    void find_rims();
    [[nodiscard]] bool is_covered(std::span<const FlatPoint> ends) const;
    void keep(std::span<const FlatPoint> ends);
    void measure(double length_mm, double volume_mm3);
    void paint_cell(std::size_t at, std::uint32_t run);
    [[nodiscard]] std::vector<std::uint8_t> solid_cells(double reach_cells, bool straight) const;
    void fit_box(std::size_t margin);
    void fill_holes();
    void wrap_first_layers();
    std::uint16_t explore(std::size_t seed, std::vector<std::uint8_t>& seen,
                          std::vector<std::uint32_t>& space) const;
    void flood(std::size_t seed, const std::vector<std::uint8_t>& solid, std::uint16_t label);

    plan::Range x_mm_, y_mm_;
    double cell_mm_ = 0.2, cells_per_mm_ = 5.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<Cell> cells_;
    /// Rows and columns that are looked at: what is painted, and a margin.
    std::size_t first_row_ = 0, last_row_ = 0, first_column_ = 0, last_column_ = 0;
    std::vector<std::uint16_t> labels_;  ///< island + 1, or 0; the highest bit where painted
    double reach_cells_ = 1.0;           ///< half a bead
    std::vector<Island> islands_;
    std::vector<int> part_of_;
    std::vector<FlatPoint> first_points_;  ///< ends of beads of first layers, as they come
    LowLayers low_layers_;
    std::size_t low_layer_ = 0;  ///< how many lie between the present layer and a first one
    std::uint32_t layer_run_ = 0, stack_ = 0;
    FirstLayers first_layers_;
    std::vector<First> firsts_;
    Pending layer_;
    double risen_mm_ = 0.0;       ///< since height fell last
    bool judging_ = true;         ///< whether the present layer is a first one is not known yet
    bool painted_below_ = false;  ///< since height fell last
    double measured_volume_mm3_ = 0.0, measured_side_mm2_ = 0.0;  ///< above the first layers
    bool several_layers_ = false;
};

}  // namespace durograde::region
