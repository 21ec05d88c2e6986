#include "check/clock.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {

void Clock::move(const Act& act, const State& state) {
    const double length = act.length_mm;
    if (!(length > 0)) return;
    const plan::PerAxis& speed = machine_.speed;
    const plan::Accelerations& most = machine_.acceleration;
    double v = act.feed_mm_min > 0 ? act.feed_mm_min / 60.0 * state.speed_factor : speed.x;
    double a = act.kind == Kind::bead ? print_mm_s2_ : travel_mm_s2_;
    // The axis that is slowest for its share of the way sets the pace. An arc runs along both X and
    // Y.
    const auto bound = [&](double share, double axis_v, double axis_a) {
        if (share * v > axis_v) v = axis_v / share;
        if (share * a > axis_a) a = axis_a / share;
    };
    const double per_mm = 1.0 / length;
    if (!act.is_arc) {
        bound(std::abs(act.to.x - act.from.x) * per_mm, speed.x, most.x);
        bound(std::abs(act.to.y - act.from.y) * per_mm, speed.y, most.y);
    }
    if (act.to.z != act.from.z) bound(std::abs(act.to.z - act.from.z) * per_mm, speed.z, most.z);
    if (act.e_mm != 0.0) bound(std::abs(act.e_mm) * per_mm, speed.e, most.e);
    least_s_ += length / v;
    // From rest to rest: a trapezoid, or a triangle where the feed is not reached.
    most_s_ += length * a >= v * v ? length / v + v / a : 2 * std::sqrt(length / a);
}

void Clock::pause(double seconds) {
    least_s_ += std::max(0.0, seconds);
    most_s_ += std::max(0.0, seconds);
}

/// M204: S for all, P for prints, T for travels (common practice).
void Clock::adopt(const Settings& settings) {
    const plan::Accelerations& most = machine_.acceleration;
    const double all = settings.number(204, 'S', 0.0);
    const double print = settings.number(204, 'P', all > 0 ? all : most.print);
    const double travel = settings.number(204, 'T', all > 0 ? all : most.travel);
    print_mm_s2_ = print > 0 ? print : most.print;
    travel_mm_s2_ = travel > 0 ? travel : most.travel;
}

}  // namespace durograde::check
