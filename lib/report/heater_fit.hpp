#pragma once

#include <string>

#include "heat/fit.hpp"

namespace durograde::report {

/// How well a heater was fitted to a log, for a person. With a plan, how long each of its tools
/// would heat up from standby by its own heater and by this one.
std::string text(const heat::HeaterFit& fit, const std::string& log_name, const plan::Plan* plan);

}  // namespace durograde::report
