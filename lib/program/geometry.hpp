#pragma once

#include "geometry/path.hpp"

namespace durograde::program {

using geometry::Arc;
using geometry::Point;

using geometry::along;
using geometry::between;
using geometry::distance;
using geometry::distance_xy;

}  // namespace durograde::program
