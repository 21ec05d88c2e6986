#pragma once

#include <string>

#include "grade/survey.hpp"

namespace durograde::report {

/// What a program holds, as `inspect` shows it. `labelled` is the survey of what stands under
/// labels, where the program has some.
std::string inspection(const grade::Survey& survey, const grade::Survey* labelled,
                       const std::string& name);

}  // namespace durograde::report
