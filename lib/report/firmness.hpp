#pragma once

#include <string>

#include "grade/figures.hpp"

namespace durograde::report {

/// What zones ask for in hardness, what they are given, and what they are off by; empty where none
/// asks.
std::string firmness(const grade::Figures& figures);

}  // namespace durograde::report
