#pragma once

#include "grade/figures.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// Warns of each zone that is not given the hardness it asks for, by how much, and of the nearest
/// plan that gives it. `plan` before its wishes were answered; `figures` complete but for this.
void warn_of_unmet_wishes(const plan::Plan& plan, Figures& figures);

}  // namespace durograde::grade
