#pragma once

#include <array>
#include <span>
#include <vector>

#include "region/line_index.hpp"

namespace durograde::region {

/// The beads of the layers that lie on first ones, the lowest first: ends of straight lines, in
/// pairs. Three tell how walls lean.
using LowLayers = std::array<std::vector<FlatPoint>, 3>;

/// Tells the strokes of a first layer that are the part's own from brim and skirt, by the exact
/// distances of their centre lines to those of the layers above: wherever they lie on the bed, the
/// same for every part. The first layer's own wall is looked for as far out as the wall leans
/// there: as the third layer lies within the second, or the fourth within the third, whichever is
/// less. What lies more than half a bead beyond is brim.
class OwnWalls {
  public:
    /// `low` must outlive it.
    OwnWalls(const LowLayers& low, double bead_mm);

    /// More than half of the stroke, told by the ends of its beads in pairs, is the part's own.
    [[nodiscard]] bool owns(std::span<const FlatPoint> ends) const;

  private:
    [[nodiscard]] bool owns(const FlatPoint& point) const;

    double bead_mm_;
    std::array<LineIndex, 3> above_;
};

}  // namespace durograde::region
