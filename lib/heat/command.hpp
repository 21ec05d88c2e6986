#pragma once

#include <string>
#include <string_view>

#include "plan/plan.hpp"

namespace durograde::heat {

/// The controller's command to set `tool` to `temperature_c` (°C; 0 is off), without a line end.
std::string set_command(const plan::Plan& plan, int tool, double temperature_c);

/// Lines that switch off every heater: the plan's tools, the bed (M140) and the chamber (M141; both
/// common practice, no source).
std::string all_off(const plan::Plan& plan, std::string_view line_end);

}  // namespace durograde::heat
