#pragma once

#include <optional>
#include <vector>

#include "region/hull.hpp"
#include "region/outline.hpp"
#include "region/rim.hpp"

namespace durograde::region {

/// How a part is turned against another of its shape.
struct Turn {
    double deg = 0.0;  ///< counter-clockwise, −180 to 180
    /// Other turns at which it lies as well: which of them it was turned by cannot be told.
    std::vector<double> as_well_deg;
};

/// What the shape of an island is told by.
struct Shape {
    const Outline& outline;  ///< on cells
    const Hull& hull;        ///< exact, of the first layer
    const Rim& rim;          ///< exact, where the first layer has a closed loop
};

/// The turn by which `other` is `shape`; nothing where it is another shape. The cells tell which
/// turns come into question, the exact rims which of them fit. Of those that fit alike the
/// smallest is taken.
std::optional<Turn> turn_between(const Shape& shape, const Shape& other);

}  // namespace durograde::region
