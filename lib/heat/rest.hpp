#pragma once

#include "plan/plan.hpp"

/// What a tool does in an idle: it cools, and is heated again as late as possible.
namespace durograde::heat {

/// An idle of a tool, by the model alone.
struct Idle {
    double from_c = 0.0;   ///< as it was put away
    double ready_c = 0.0;  ///< as hot it must be again at the end
    double gap_s = 0.0;    ///< from one to the other
};

/// The longest time at rest, with the set-point at `rest_c` (0 is off), after which full power
/// still makes the tool ready in time; 0 where it never does.
double longest_rest_s(const plan::Heater& heater, const Idle& idle, double rest_c);

/// The lowest set-point from which a tool at rest is ready in time: as far as it cools unheated
/// until it must be heated again, in whole °C upwards. Any lower one would never be met, and is
/// thus no cooler. At most `from_c`, rounded up; never below ambient.
double least_standby_c(const plan::Heater& heater, const Idle& idle);

}  // namespace durograde::heat
