#pragma once

#include <vector>

#include "region/cover.hpp"

namespace durograde::region {

/// A way from `from` to `to` over the beads of one layer, for travels that would else cross open
/// air: its corners, `from` and `to` the first and last of them, no longer than `most_mm` in all.
/// Empty where none is found: both must lie on beads, and the search looks at a few thousand places
/// at most. Shortest way on a grid of 0.2 mm (Hart, Nilsson and Raphael, IEEE Trans. Syst. Sci.
/// Cybern. 4(2), 1968, 100-107), its needless corners left out.
std::vector<program::Point> way_over_beads(const Cover& cover, const program::Point& from,
                                           const program::Point& to, double most_mm);

}  // namespace durograde::region
