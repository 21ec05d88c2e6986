#include "motion/profile.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::motion {

double trapezoid_s(double length, double v0, double v1, double v, double a) {
    if (length <= 0) return 0.0;
    if (v0 >= v && v1 >= v) return length / v;
    v0 = std::min(v0, v);
    v1 = std::min(v1, v);
    if (std::abs(v1 * v1 - v0 * v0) > 2 * a * length) return 2 * length / (v0 + v1);
    const double peak_squared = a * length + (v0 * v0 + v1 * v1) / 2;
    if (peak_squared <= v * v) {
        const double peak = std::sqrt(peak_squared);
        return (peak - v0) / a + (peak - v1) / a;
    }
    const double ramps = (2 * v * v - v0 * v0 - v1 * v1) / (2 * a);
    return (v - v0) / a + (v - v1) / a + (length - ramps) / v;
}

double corner_speed(double cosine_of_turn, double acceleration, double deviation_mm) {
    // cos θ = −cos(turn), so sin(θ/2) = sqrt((1 + cos(turn)) / 2).
    if (cosine_of_turn > straight_cosine) return 1e9;
    const double sine = std::sqrt(std::max(0.0, (1 + cosine_of_turn) / 2));
    return std::sqrt(acceleration * deviation_mm * sine / (1 - sine));
}

}  // namespace durograde::motion
