#pragma once

#include <cstdint>
#include <vector>

#include "plan/plan.hpp"
#include "program/geometry.hpp"

namespace durograde::region {

inline constexpr int outside = -1;  ///< belongs to no part

/// One connected island of beads seen from above.
struct Island {
    double min_x = 0.0, min_y = 0.0, max_x = 0.0, max_y = 0.0;  ///< mm
    double area_mm2 = 0.0;
};

/// What a program covers of the bed, all layers together, on a grid of 0.2 mm cells (coarser on beds
/// beyond 1 m²). Cells that only a first layer covers, and no more than once, are brim or skirt: they join
/// no island.
class Footprint {
  public:
    Footprint(const plan::Range& x_mm, const plan::Range& y_mm);

    /// Paints the centre line of a bead. `layer_run` counts the layers as they come; `above_first` tells
    /// that its layer is not the first of its part.
    void paint(const program::Point& from, const program::Point& to, std::uint32_t layer_run,
               bool above_first);

    /// Finds the islands; beads are taken `bead_mm` wide. Call once, after the last `paint`.
    void find_islands(double bead_mm);
    [[nodiscard]] const std::vector<Island>& islands() const noexcept { return islands_; }

    /// The island at a point, or around it where it lies in a closed hole; -1 where there is none.
    [[nodiscard]] int island_around(double x_mm, double y_mm) const;

    /// Lets island `island` be part `part` from now on.
    void name_part(int island, int part) { part_of_[static_cast<std::size_t>(island)] = part; }

    /// The part whose island covers this point, or `outside`.
    [[nodiscard]] int part_at(double x_mm, double y_mm) const noexcept;

  private:
    struct Cell {
        std::uint32_t run : 29 = 0;
        std::uint32_t times : 2 = 0;  ///< layers that cover it: 0, 1, or 2 for more
        std::uint32_t above_first : 1 = 0;
    };
    [[nodiscard]] std::size_t index(double x_mm, double y_mm) const noexcept;
    void paint_cell(std::size_t at, std::uint32_t run, bool above_first);
    [[nodiscard]] std::vector<std::uint8_t> solid_cells(int grow) const;
    void flood(std::size_t seed, const std::vector<std::uint8_t>& solid, std::uint16_t label);

    plan::Range x_mm_, y_mm_;
    double cell_mm_ = 0.2, cells_per_mm_ = 5.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<Cell> cells_;
    std::vector<std::uint16_t> labels_;  ///< island + 1, or 0
    std::vector<Island> islands_;
    std::vector<int> part_of_;
    bool several_layers_ = false;
};

}  // namespace durograde::region
