#pragma once

#include "plan/keys.hpp"
#include "plan/plan.hpp"

namespace durograde::plan {

/// Reads `mesh = { file, scale, turn, move }` of a shape with the file it names. A surface that is
/// not closed or turned inside out is a warning; without triangles the findings tell why.
Mesh read_mesh(TableReader& form);

}  // namespace durograde::plan
