#pragma once

#include <vector>

#include "grade/survey.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// How much bead lies in each zone of the plan, mm³ as the input means it, pieces too short to
/// stand alone in their own. Boundaries are taken without their interlock, which gives either side
/// as much. `survey` holds the beads and the parts' places. Throws Failure (Exit::bad_input) where
/// a depth that the plan asks for cannot be told.
std::vector<double> zone_volumes(const plan::Plan& plan, const Survey& survey,
                                 const std::string& input_name);

}  // namespace durograde::grade
