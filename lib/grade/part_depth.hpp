#pragma once

#include <memory>
#include <string>

#include "grade/survey.hpp"
#include "plan/plan.hpp"

namespace durograde::grade {

/// How deep places lie in their parts, where the plan asks for it. Throws Failure (Exit::bad_input)
/// where that cannot be told.
std::unique_ptr<region::Depth> measure_depth(const plan::Plan& plan, const std::string& input,
                                             const Survey& survey);

}  // namespace durograde::grade
