#pragma once

#include <string>

#include "grade/figures.hpp"

namespace durograde::report {

/// What the grading has changed, in lines, by its reasons.
std::string edits(const grade::Figures& figures);

}  // namespace durograde::report
