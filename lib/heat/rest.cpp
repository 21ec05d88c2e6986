#include "heat/rest.hpp"

#include <cmath>

#include "heat/heater.hpp"

namespace durograde::heat {

/// Later is never sooner ready, so bisection finds it.
double longest_rest_s(const plan::Heater& heater, const Idle& idle, double rest_c) {
    double low = 0.0, high = idle.gap_s;
    for (int i = 0; i < 40; ++i) {
        const double middle = (low + high) / 2;
        const double rested_c = temperature_after(heater, idle.from_c, rest_c, middle);
        const double ready_at_s = middle + heating_s(heater, rested_c, idle.ready_c);
        (ready_at_s <= idle.gap_s ? low : high) = middle;
    }
    return low;
}

double least_standby_c(const plan::Heater& heater, const Idle& idle) {
    const double rest_s = longest_rest_s(heater, idle, 0.0);
    return std::ceil(temperature_after(heater, idle.from_c, 0.0, rest_s));
}

}  // namespace durograde::heat
