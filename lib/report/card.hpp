#pragma once

#include <string>

#include "grade/figures.hpp"

namespace durograde::report {

/// What the material's points give at each set-point that zones have, and which points that is
/// from; empty where no zone has a temperature of its own, or the plan no material.
std::string card(const grade::Figures& figures);

}  // namespace durograde::report
