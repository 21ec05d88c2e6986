#pragma once

#include <string>

#include "check/check.hpp"
#include "grade/figures.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"

namespace durograde::report {

/// The report for a person: what the print will be and cost, what changes in the program and why,
/// and what to look at before printing. At most 100 columns, plain text.
std::string text(const grade::Figures& figures, const check::Verdict& verdict,
                 const plan::Plan& plan);

/// What a program holds, as `inspect` shows it.
std::string inspection(const grade::Survey& survey, const std::string& name);

/// "1 h 05 min", "3 min 20 s".
std::string duration(double seconds);

}  // namespace durograde::report
