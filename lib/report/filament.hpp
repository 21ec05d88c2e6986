#pragma once

#include <string>

#include "grade/figures.hpp"

namespace durograde::report {

/// All that is fed, as a sum, in one line of the report; the proof has its own.
std::string filament_line(const grade::Figures& f);

}  // namespace durograde::report
