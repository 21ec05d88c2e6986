#include "motion/clock.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::motion {
namespace {

constexpr double straight_cosine = 0.999999;

}  // namespace

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

Clock::Clock(const plan::Machine& machine) : machine_(machine) {
    const auto* deviation = std::get_if<plan::Deviation>(&machine_.cornering);
    has_deviation_ = deviation != nullptr;
    if (has_deviation_) deviation_mm_ = deviation->mm;
}

Clock::Timed Clock::limits(const Move& move) const {
    Timed timed;
    timed.length = move.length_mm;
    const double inverse = 1.0 / move.length_mm;
    timed.ux = move.dx * inverse;
    timed.uy = move.dy * inverse;
    timed.uz = move.dz * inverse;
    timed.ue = move.e * inverse;
    const plan::PerAxis& speed = machine_.speed;
    const plan::Accelerations& limit = machine_.acceleration;
    timed.speed = move.feed_mm_min > 0 ? move.feed_mm_min * (1.0 / 60.0) * speed_factor_ : speed.x;
    timed.acceleration = move.extrudes ? limit.print : limit.travel;
    const auto bound = [&](double component, double axis_speed, double axis_acceleration) {
        const double share = std::abs(component);
        if (share * timed.speed > axis_speed) timed.speed = axis_speed / share;
        if (share * timed.acceleration > axis_acceleration) {
            timed.acceleration = axis_acceleration / share;
        }
    };
    bound(timed.ux, speed.x, limit.x);
    bound(timed.uy, speed.y, limit.y);
    if (timed.uz != 0.0) bound(timed.uz, speed.z, limit.z);
    if (timed.ue != 0.0) bound(timed.ue, speed.e, limit.e);
    return timed;
}

/// Square of the speed at which the corner may be taken, at most `cap_squared`.
double Clock::corner_squared(const Timed& before, const Timed& after, double cap_squared) const {
    if (has_deviation_) {
        const double cosine = before.ux * after.ux + before.uy * after.uy + before.uz * after.uz;
        if (cosine > straight_cosine) return cap_squared;
        const double sine = std::sqrt(std::max(0.0, (1 + cosine) / 2));
        const double bound =
            std::min(before.acceleration, after.acceleration) * deviation_mm_ * sine;
        return bound >= cap_squared * (1 - sine) ? cap_squared : bound / (1 - sine);
    }
    const auto& jerk = std::get<plan::Jerk>(machine_.cornering);
    double speed = std::sqrt(cap_squared);
    const auto bound = [&](double change, double limit) {
        if (std::abs(change) * speed > limit) speed = limit / std::abs(change);
    };
    bound(after.ux - before.ux, jerk.x);
    bound(after.uy - before.uy, jerk.y);
    bound(after.uz - before.uz, jerk.z);
    bound(after.ue - before.ue, jerk.e);
    return speed * speed;
}

void Clock::finish(double exit_squared) {
    const double reachable_squared =
        entry_speed_ * entry_speed_ + 2 * pending_.acceleration * pending_.length;
    exit_squared = std::min({exit_squared, pending_.speed * pending_.speed, reachable_squared});
    const bool steady =
        exit_squared >= entry_speed_ * entry_speed_ && entry_speed_ >= pending_.speed;
    const double exit = steady ? pending_.speed : std::sqrt(exit_squared);
    done_s_ +=
        trapezoid_s(pending_.length, entry_speed_, exit, pending_.speed, pending_.acceleration);
    entry_speed_ = exit;
    has_pending_ = false;
}

void Clock::move(const Move& move) {
    if (!(move.length_mm > 0)) return;
    const Timed next = limits(move);
    if (has_pending_) {
        const double cap = std::min(next.speed, pending_.speed);
        finish(corner_squared(pending_, next, cap * cap));
    }
    entry_speed_ = std::min(entry_speed_, next.speed);
    pending_ = next;
    has_pending_ = true;
}

void Clock::pause(double seconds) {
    if (has_pending_) finish(0.0);
    entry_speed_ = 0.0;
    done_s_ += std::max(0.0, seconds);
}

double Clock::now_s() const {
    double now = done_s_;
    if (has_pending_) {
        now +=
            trapezoid_s(pending_.length, entry_speed_, 0.0, pending_.speed, pending_.acceleration);
    }
    told_s_ = std::max(told_s_, now);
    return told_s_;
}

}  // namespace durograde::motion
