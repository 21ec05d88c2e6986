#pragma once

#include <string>
#include <vector>

#include "grade/figures.hpp"
#include "grade/set_points.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// What the plan's gradient asks for: by rising hardness, a quarter of Shore A together, and how
/// many mm³ of bead of each. Beads are looked at every half millimetre, where no zone of the plan
/// holds. Throws Failure as `for_part_beads`.
std::vector<Wish> gradient_wishes(const plan::Plan& plan, const Survey& survey,
                                  const std::string& input_name);

/// What it asks for against what it is given; `answered` is the plan with its `steps` as zones.
GradientFigures gradient_figures(const plan::Plan& answered, const std::vector<Wish>& wishes,
                                 std::span<const plan::GradientStep> steps);

/// Warns where the gradient's slope has no known bound: its boundaries are found by sampling.
void warn_of_steep_gradient(const plan::Plan& plan, Figures& figures);

}  // namespace durograde::grade
