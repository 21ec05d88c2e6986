#pragma once

#include "grade/figures.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"

/// Warnings of what a plan asks for and hardly means, told by what came of it.
namespace durograde::grade {

/// A zone that holds no bead: with where its shapes lie beside the part, and for a mesh the factor
/// or the shift with which it would fit.
void warn_of_empty_zones(const plan::Plan& plan, const Survey& survey, Figures& figures);
/// Hot tools that cross open air, and nothing is asked against their strings.
void warn_of_bare_travel(const plan::Plan& plan, Figures& figures);
/// `max_flow` that makes the print last more than twice as long.
void warn_of_slow_flow(const plan::Plan& plan, Figures& figures);
/// Commands amid layers that nothing may be moved across, where they cost swaps.
void warn_of_barriers(Figures& figures);

}  // namespace durograde::grade
