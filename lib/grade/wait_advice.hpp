#pragma once

#include "grade/figures.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// `long-waits`, where more than a minute and a tenth of the print goes on waiting for heat that
/// the plan could spare. What the slowest of the tools in use takes to get hot from cold, no plan
/// spares: the others are heated meanwhile. The advice is what helps most by the plan at hand.
void warn_of_long_waits(const plan::Plan& plan, Figures& figures);

}  // namespace durograde::grade
