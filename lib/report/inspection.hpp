#pragma once

#include <string>

#include "grade/survey.hpp"

namespace durograde::report {

/// What a program holds, as `inspect` shows it.
std::string inspection(const grade::Survey& survey, const std::string& name);

}  // namespace durograde::report
