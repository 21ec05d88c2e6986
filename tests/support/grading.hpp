#pragma once

#include <string>
#include <string_view>

#include "grade/figures.hpp"
#include "plan/plan.hpp"

namespace durograde::support {

/// The graded program as text. Throws Failure as `grade::grade` does.
std::string graded(const plan::Plan& plan, std::string_view program);
/// The same with the figures of the report.
std::string graded(const plan::Plan& plan, std::string_view program, grade::Figures& figures);

}  // namespace durograde::support
