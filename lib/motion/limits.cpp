#include "motion/limits.hpp"

#include <algorithm>

namespace durograde::motion {
namespace {

void replace(std::array<double, 4>& values, const program::SaidPerAxis& said) {
    for (std::size_t axis = 0; axis < values.size(); ++axis) {
        if (said[axis] > 0) values[axis] = said[axis];
    }
}

void replace(double& value, double said) {
    if (said > 0) value = said;
}

}  // namespace

Limits limits_of(const plan::Machine& machine, const program::SaidLimits& said) {
    const plan::PerAxis& speed = machine.speed;
    const plan::Accelerations& acceleration = machine.acceleration;
    Limits limits;
    limits.speed = {speed.x, speed.y, speed.z, speed.e};
    limits.acceleration = {acceleration.x, acceleration.y, acceleration.z, acceleration.e};
    limits.print = acceleration.print;
    limits.travel = acceleration.travel;
    limits.retract = acceleration.travel;
    if (const auto* deviation = std::get_if<plan::Deviation>(&machine.cornering)) {
        limits.deviation = deviation->mm;
    } else {
        const plan::Jerk& jerk = std::get<plan::Jerk>(machine.cornering);
        limits.by_deviation = false;
        limits.jerk = {jerk.x, jerk.y, jerk.z, jerk.e};
    }
    replace(limits.speed, said.speed_mm_s);
    replace(limits.acceleration, said.acceleration_mm_s2);
    replace(limits.jerk, said.jerk_mm_s);
    replace(limits.deviation, said.deviation_mm);
    replace(limits.print, said.print_mm_s2);
    replace(limits.travel, said.travel_mm_s2);
    replace(limits.retract, said.retract_mm_s2);
    return limits;
}

}  // namespace durograde::motion
