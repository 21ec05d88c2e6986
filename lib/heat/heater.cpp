#include "heat/heater.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::heat {

double heating_s(const plan::Heater& heater, double from_c, double to_c) {
    if (to_c <= from_c) return 0.0;
    if (heater.loss_per_s <= 0) return (to_c - from_c) / heater.rise_k_s;
    const double final_c = heater.ambient_c + heater.rise_k_s / heater.loss_per_s;
    if (to_c >= final_c) return never_s;
    return std::log((final_c - from_c) / (final_c - to_c)) / heater.loss_per_s;
}

double cooling_s(const plan::Heater& heater, double from_c, double to_c) {
    if (to_c >= from_c) return 0.0;
    if (heater.loss_per_s <= 0 || to_c <= heater.ambient_c) return never_s;
    return std::log((from_c - heater.ambient_c) / (to_c - heater.ambient_c)) / heater.loss_per_s;
}

double temperature_after(const plan::Heater& heater, double from_c, double set_point_c,
                         double seconds) {
    const double decay = std::exp(-heater.loss_per_s * seconds);
    if (set_point_c > from_c) {
        if (heating_s(heater, from_c, set_point_c) <= seconds) return set_point_c;
        if (heater.loss_per_s <= 0) return from_c + heater.rise_k_s * seconds;
        const double final_c = heater.ambient_c + heater.rise_k_s / heater.loss_per_s;
        return final_c + (from_c - final_c) * decay;
    }
    const double unheated = heater.ambient_c + (from_c - heater.ambient_c) * decay;
    return std::max(unheated, std::min(set_point_c, from_c));
}

double ready_s(const plan::Heater& heater, double from_c, double set_point_c, double ready_k) {
    if (from_c < set_point_c - ready_k) return heating_s(heater, from_c, set_point_c - ready_k);
    if (from_c > set_point_c + ready_k) return cooling_s(heater, from_c, set_point_c + ready_k);
    return 0.0;
}

}  // namespace durograde::heat
