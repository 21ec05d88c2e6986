#pragma once

#include "grade/figures.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// What zones and parts are expected to come out as, from what was graded (`figures`, complete but
/// for this), the material's points and the beads that `survey` kept. `plan` asks for it, its
/// wishes answered.
Prediction predict(const plan::Plan& plan, const Survey& survey, const Figures& figures);

}  // namespace durograde::grade
