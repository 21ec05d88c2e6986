#pragma once

#include "grade/figures.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"
#include "region/parts.hpp"

namespace durograde::grade {

/// Warns of parts that may be turned otherwise than they are taken to be, for their outline is the
/// same after a turn: where the plan's zones are not. `found` are the parts of `survey`.
void warn_of_guessed_turns(const plan::Plan& plan, const Survey& survey, const region::Found& found,
                           Figures& figures);

}  // namespace durograde::grade
