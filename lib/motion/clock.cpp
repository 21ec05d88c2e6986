#include "motion/clock.hpp"

#include <algorithm>
#include <cmath>

#include "motion/profile.hpp"

namespace durograde::motion {

Bend bend_of(const program::Arc& arc, const program::Point& from, const program::Point& to) {
    const double per_mm = (arc.sweep_rad < 0 ? -1.0 : 1.0) / std::max(arc.radius, 1e-9);
    return {arc.radius, (arc.center_y - from.y) * per_mm, (from.x - arc.center_x) * per_mm,
            (arc.center_y - to.y) * per_mm, (to.x - arc.center_x) * per_mm};
}

Clock::Clock(const plan::Machine& machine)
    : machine_(machine), limits_(limits_of(machine, program::SaidLimits{})) {}

Clock::Timed Clock::limit(const Move& move) const {
    Timed timed;
    const double inverse = 1.0 / move.length_mm;
    timed.begin = {move.dx * inverse, move.dy * inverse, move.dz * inverse, move.e * inverse};
    timed.end = timed.begin;
    timed.speed =
        move.feed_mm_min > 0 ? move.feed_mm_min * (1.0 / 60.0) * speed_factor_ : limits_.speed[0];
    timed.acceleration = move.drive == Drive::print    ? limits_.print
                         : move.drive == Drive::travel ? limits_.travel
                                                       : limits_.retract;
    for (std::size_t axis = 0; axis < timed.begin.size(); ++axis) {
        const double share = std::abs(timed.begin[axis]);
        if (share == 0.0) continue;
        if (share * timed.speed > limits_.speed[axis]) timed.speed = limits_.speed[axis] / share;
        if (share * timed.acceleration > limits_.acceleration[axis]) {
            timed.acceleration = limits_.acceleration[axis] / share;
        }
    }
    return timed;
}

/// Square of the speed at which the corner to `next` may be taken, at most `cap_squared`.
double Clock::corner_squared(const Timed& next, double cap_squared) const {
    const std::array<double, 4>&in = last_.end, &out = next.begin;
    const auto is_still = [](const std::array<double, 4>& way) {
        return way[0] == 0 && way[1] == 0 && way[2] == 0;
    };
    if (limits_.by_deviation) {
        // From a way to filament alone, or back, the axes stop.
        if (is_still(in) != is_still(out)) return 0.0;
        if (is_still(in)) return in[3] == out[3] ? cap_squared : 0.0;
        const double cosine = in[0] * out[0] + in[1] * out[1] + in[2] * out[2];
        if (cosine > straight_cosine) return cap_squared;
        const double sine = std::sqrt(std::max(0.0, (1 + cosine) / 2));
        const double bound =
            std::min(last_.acceleration, next.acceleration) * limits_.deviation * sine;
        return bound >= cap_squared * (1 - sine) ? cap_squared : bound / (1 - sine);
    }
    double speed = std::sqrt(cap_squared);
    for (std::size_t axis = 0; axis < in.size(); ++axis) {
        const double change = std::abs(out[axis] - in[axis]);
        if (change * speed > limits_.jerk[axis]) speed = limits_.jerk[axis] / change;
    }
    return speed * speed;
}

void Clock::go(const Timed& next, double length_mm) {
    if (!planner_.is_moving()) {
        planner_.add({length_mm, next.speed, next.acceleration, 0.0});
        last_ = next;
        return;
    }
    const double cap = std::min(next.speed, last_.speed);
    const double corner = corner_squared(next, cap * cap);
    // A straight path that was cut into pieces is one stretch still.
    const bool goes_on =
        next.speed == last_.speed && next.acceleration == last_.acceleration && corner == cap * cap;
    if (goes_on) {
        planner_.extend(length_mm);
    } else {
        planner_.add({length_mm, next.speed, next.acceleration, corner});
    }
    last_ = next;
}

void Clock::move(const Move& move) {
    if (!(move.length_mm > 0)) return;
    go(limit(move), move.length_mm);
}

void Clock::move(const Move& move, const Bend& bend) {
    if (!(move.length_mm > 0)) return;
    Timed timed = limit(move);
    // On its way an arc may run along either axis.
    for (std::size_t axis = 0; axis < 2; ++axis) {
        timed.speed = std::min(timed.speed, limits_.speed[axis]);
        timed.acceleration = std::min(timed.acceleration, limits_.acceleration[axis]);
    }
    timed.speed = std::min(timed.speed, std::sqrt(timed.acceleration * bend.radius_mm));
    timed.begin[0] = bend.begin_x;
    timed.begin[1] = bend.begin_y;
    timed.end[0] = bend.end_x;
    timed.end[1] = bend.end_y;
    go(timed, move.length_mm);
}

void Clock::machine_retraction(bool draws, const plan::Retract& how) {
    const double e_mm = draws ? -how.length_mm : how.length_mm;
    const double speed_mm_s = draws ? how.speed_mm_s : how.restart_speed_mm_s;
    move({0.0, 0.0, 0.0, e_mm, how.length_mm, speed_mm_s * 60, Drive::filament});
}

void Clock::pause(double seconds) {
    planner_.stop();
    paused_s_ += std::max(0.0, seconds);
}

double Clock::now_s() const {
    told_s_ = std::max(told_s_, paused_s_ + planner_.total_s());
    return told_s_;
}

}  // namespace durograde::motion
