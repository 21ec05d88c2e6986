#pragma once

#include <cstdint>
#include <vector>

#include "region/slice.hpp"
#include "region/zones.hpp"

namespace durograde::region {

/// The zones of one layer of a part, cell by cell, and where between two cells the one ends and the
/// next begins.
class ZoneCells {
  public:
    /// All must outlive this.
    ZoneCells(const ZoneField& field, const Placement& placement, const Grid& grid)
        : field_(field), placement_(placement), grid_(grid) {}

    /// Fills zones and edges for what of the settled `slice` is inside.
    void measure(double z_mm, long layer, const Slice& slice);

    std::vector<std::int16_t> zones;  ///< `no_zone` outside
    CellEdges edges;                  ///< of the zones

  private:
    [[nodiscard]] Spot spot(double column, double row) const;
    void fill(const Slice& slice);
    void find_edges();
    [[nodiscard]] bool differ(std::size_t a, std::size_t b) const;
    [[nodiscard]] double crossing(std::size_t column, std::size_t row, double right,
                                  double up) const;

    const ZoneField& field_;
    const Placement& placement_;
    const Grid& grid_;
    double z_mm_ = 0.0;
    long layer_ = 0;
};

}  // namespace durograde::region
