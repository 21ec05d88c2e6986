#pragma once

#include "plan/plan.hpp"

/// The lumped heater model in closed form: dT/dt = rise·u − loss·(T − ambient), u = 1 below the
/// set-point, 0 above it (first-order step response; Incropera & DeWitt, Fundamentals of Heat and
/// Mass Transfer, ch. 5).
namespace durograde::heat {

inline constexpr double never_s = 1e9;

/// Seconds at full power from `from_c` up to `to_c`; 0 where it is that hot already, `never_s`
/// where the heater cannot reach it.
double heating_s(const plan::Heater& heater, double from_c, double to_c);

/// Seconds unheated from `from_c` down to `to_c`; `never_s` at or below ambient.
double cooling_s(const plan::Heater& heater, double from_c, double to_c);

/// Temperature after `seconds` from `from_c` with the set-point at `set_point_c` (0 is off).
double temperature_after(const plan::Heater& heater, double from_c, double set_point_c,
                         double seconds);

/// Seconds until within `ready_k` of `set_point_c`, from either side.
double ready_s(const plan::Heater& heater, double from_c, double set_point_c, double ready_k);

}  // namespace durograde::heat
