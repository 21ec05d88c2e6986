#include "heat/ooze.hpp"

#include <algorithm>
#include <cmath>

#include "heat/heater.hpp"

namespace durograde::heat {
namespace {

constexpr double minute_s = 60.0;
constexpr double step_s = 1.0;       // heaters take tens of seconds
constexpr double settled_k = 0.01;   // of the way left: the tool stays as it is
constexpr double steady_k_s = 1e-5;  // so does one that its heater takes no farther

}  // namespace

Ooze::Ooze(const plan::Plan& plan) : plan_(plan) {
    if (!plan.material) return;
    const auto& points = plan.material->points;
    const bool oozes = std::any_of(points.begin(), points.end(),
                                   [](const auto& point) { return point.ooze_mm3 > 0; });
    if (oozes) curve_.emplace(points);
}

double Ooze::rate_mm3_s(double temperature_c) const {
    if (!curve_) return 0.0;
    const double coldest_c = plan_.material->points.front().temperature_c;
    const double nothing_c = std::min(plan_.machine.coldest_extrusion_c, coldest_c);
    if (temperature_c <= nothing_c) return 0.0;
    const double rate = curve_->ooze_mm3(temperature_c) / minute_s;
    if (temperature_c >= coldest_c) return rate;
    return rate * (temperature_c - nothing_c) / (coldest_c - nothing_c);
}

double Ooze::lost_mm3(const plan::Heater& heater, const std::vector<Moment>& path,
                      double end_s) const {
    if (!curve_) return 0.0;
    double lost = 0.0;
    for (std::size_t i = 0; i < path.size(); ++i) {
        const double until_s = i + 1 < path.size() ? std::min(path[i + 1].time_s, end_s) : end_s;
        lost += lost_between(heater, path[i], until_s);
    }
    return lost;
}

double Ooze::lost_between(const plan::Heater& heater, const Moment& from, double end_s) const {
    double lost = 0.0, at_s = from.time_s, at_c = from.temperature_c;
    double end_c = from.set_point_c > 0 ? from.set_point_c : heater.ambient_c;
    while (at_s < end_s) {
        if (std::abs(at_c - end_c) < settled_k) return lost + rate_mm3_s(at_c) * (end_s - at_s);
        const double next_s = std::min(at_s + step_s, end_s);
        const double next_c =
            temperature_after(heater, from.temperature_c, from.set_point_c, next_s - from.time_s);
        lost += (rate_mm3_s(at_c) + rate_mm3_s(next_c)) / 2 * (next_s - at_s);
        // A tool that is off, and too cold to ooze, oozes no more.
        if (from.set_point_c <= 0 && rate_mm3_s(next_c) <= 0) return lost;
        if (std::abs(next_c - at_c) < steady_k_s * (next_s - at_s))
            return lost + rate_mm3_s(next_c) * (end_s - next_s);
        at_s = next_s;
        at_c = next_c;
    }
    return lost;
}

}  // namespace durograde::heat
