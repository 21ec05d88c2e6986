#pragma once

#include <string>

#include "grade/figures.hpp"
#include "plan/plan.hpp"

namespace durograde::report {

/// What zones and parts are expected to come out as, each figure with what it rests on; empty where
/// the plan does not ask.
std::string prediction(const grade::Figures& figures, const plan::Plan& plan);

/// What the sheet costs; empty where the plan does not ask.
std::string cost(const grade::Figures& figures);

}  // namespace durograde::report
