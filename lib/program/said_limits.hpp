#pragma once

#include <array>

#include "line.hpp"
#include "program/step.hpp"

namespace durograde::program {

/// Axes in the order X, Y, Z, E. 0 where the program has said nothing.
using SaidPerAxis = std::array<double, 4>;

/// What the program itself has said of the machine's limits so far: lengths mm, times s.
struct SaidLimits {
    SaidPerAxis speed_mm_s{};                                           ///< M203
    SaidPerAxis acceleration_mm_s2{};                                   ///< M201
    SaidPerAxis jerk_mm_s{};                                            ///< M205, M566
    double deviation_mm = 0.0;                                          ///< M205 J
    double print_mm_s2 = 0.0, travel_mm_s2 = 0.0, retract_mm_s2 = 0.0;  ///< M204

    friend bool operator==(const SaidLimits&, const SaidLimits&) = default;
};

/// Takes M201, M203, M204, M205 and M566 (jerk in mm/min) into account; other lines say nothing.
/// `per_s` is the time unit of M203: controllers differ (common practice, no source). Words that
/// are no positive numbers say nothing.
void read_limits(const grammar::Line& line, const Frame& frame, double per_s, SaidLimits& limits);

}  // namespace durograde::program
