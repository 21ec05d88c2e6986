#pragma once

#include <string>

#include "check/check.hpp"
#include "grade/figures.hpp"
#include "plan/plan.hpp"

namespace durograde::report {

/// The report for a person: what the print will be and cost, what changes in the program and why,
/// and what to look at before printing. At most 100 columns, plain text.
std::string text(const grade::Figures& figures, const check::Verdict& verdict,
                 const plan::Plan& plan);

}  // namespace durograde::report
