#include "heat/history.hpp"

#include <algorithm>
#include <cmath>

#include "heat/heater.hpp"

namespace durograde::heat {
namespace {

constexpr double least_step_k = 0.5;  // nearer to where it levels out, the curve is a line

}  // namespace

History::History(const plan::Heater& heater)
    : heater_(heater), points_{{0.0, 0.0, heater.ambient_c}} {}

/// Samples the curve from the last point on: every `sample_k_`, more often where it levels out, and
/// where the set-point is reached. The last sample is at `time_s`.
void History::go_to(double time_s) {
    const HeatPoint from = points_.back();
    if (!(time_s > from.time_s)) return;
    const double set_c = from.set_point_c, begin_c = from.temperature_c;
    const bool heats = set_c > begin_c;
    const double end_c =
        heats ? heater_.ambient_c + heater_.rise_k_s / heater_.loss_per_s : heater_.ambient_c;
    double celsius = begin_c;
    while (celsius != set_c) {
        // A chord over half of what is left of an exponential misses it by 0.043 of that.
        const double step_k = std::min(sample_k_, std::abs(end_c - celsius) / 2);
        if (step_k < least_step_k) break;
        celsius = heats ? std::min(set_c, celsius + step_k) : std::max(set_c, celsius - step_k);
        const double at_s = from.time_s + (heats ? heating_s(heater_, begin_c, celsius)
                                                 : cooling_s(heater_, begin_c, celsius));
        if (!(at_s < time_s)) break;
        add({at_s, set_c, celsius});
    }
    add({time_s, set_c, temperature_after(heater_, begin_c, set_c, time_s - from.time_s)});
}

void History::change(double time_s, double set_point_c, double temperature_c) {
    const double now_s = std::max(time_s, points_.back().time_s);
    const bool passes = now_s > points_.back().time_s;
    go_to(now_s);
    HeatPoint& last = points_.back();
    if (last.temperature_c == temperature_c && (passes || last.set_point_c == set_point_c)) {
        last.set_point_c = set_point_c;
    } else {
        add({now_s, set_point_c, temperature_c});
    }
}

void History::end(double time_s) {
    go_to(time_s);
}

/// A level goes on as one line.
void History::add(const HeatPoint& point) {
    const auto is_level = [&](const HeatPoint& other) {
        return other.set_point_c == point.set_point_c && other.temperature_c == point.temperature_c;
    };
    const std::size_t count = points_.size();
    if (count > 1 && is_level(points_[count - 1]) && is_level(points_[count - 2])) {
        points_.back().time_s = point.time_s;
        return;
    }
    if (points_.size() == most_points) thin();
    points_.push_back(point);
}

/// The first point and the last one stay: the print begins there, and goes on from there.
void History::thin() {
    const auto colder = [](const HeatPoint& a, const HeatPoint& b) {
        return a.temperature_c < b.temperature_c;
    };
    std::vector<HeatPoint> kept{points_.front()};
    for (std::size_t at = 1; at + 1 < points_.size(); at += 4) {
        const auto begin = points_.begin() + static_cast<std::ptrdiff_t>(at);
        const auto end =
            begin + static_cast<std::ptrdiff_t>(std::min<std::size_t>(4, points_.size() - 1 - at));
        const auto [coldest, hottest] = std::minmax_element(begin, end, colder);
        kept.push_back(*std::min(coldest, hottest));
        if (coldest != hottest) kept.push_back(*std::max(coldest, hottest));
    }
    kept.push_back(points_.back());
    points_ = std::move(kept);
    sample_k_ *= 2;
    is_thinned_ = true;
}

}  // namespace durograde::heat
