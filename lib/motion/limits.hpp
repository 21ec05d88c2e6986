#pragma once

#include <array>
#include <variant>

#include "plan/plan.hpp"
#include "program/said_limits.hpp"

namespace durograde::motion {

/// What a motion controller keeps to: mm and s; axes in the order X, Y, Z, E.
struct Limits {
    std::array<double, 4> speed{}, acceleration{};
    double print = 0.0, travel = 0.0, retract = 0.0;  ///< accelerations of the path
    bool by_deviation = true;                         ///< else by jerk
    double deviation = 0.0;
    std::array<double, 4> jerk{};  ///< largest sudden change of an axis' speed
};

/// The machine's limits, replaced by what the program has said: that is what the controller obeys.
Limits limits_of(const plan::Machine& machine, const program::SaidLimits& said);

}  // namespace durograde::motion
