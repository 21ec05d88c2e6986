#pragma once

#include "grade/figures.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// What the sheet costs, from its filament and its time, complete in `figures`. Of all sheets a
/// share fails and is thrown away, whole: a good one bears its part of them, 1 / (1 - share) sheets
/// in all.
CostFigures cost_of_sheet(const plan::Cost& cost, const Figures& figures);

}  // namespace durograde::grade
