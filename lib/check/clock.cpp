#include "check/clock.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

/// From rest to rest: a trapezoid, or a triangle where the feed is not reached.
double rest_to_rest_s(double length_mm, double mm_s, double mm_s2) {
    return length_mm * mm_s2 >= mm_s * mm_s ? length_mm / mm_s + mm_s / mm_s2
                                            : 2 * std::sqrt(length_mm / mm_s2);
}

}  // namespace

/// The axis that is slowest for its share of the way sets the pace.
void Clock::bound(double share, char axis, Pace& pace) const {
    const double v = axis == 'X'   ? speed_.x
                     : axis == 'Y' ? speed_.y
                     : axis == 'Z' ? speed_.z
                                   : speed_.e;
    const double a = axis == 'X'   ? acceleration_.x
                     : axis == 'Y' ? acceleration_.y
                     : axis == 'Z' ? acceleration_.z
                                   : acceleration_.e;
    share = std::abs(share);
    if (share * pace.mm_s > v) pace.mm_s = v / share;
    if (share * pace.mm_s2 > a) pace.mm_s2 = a / share;
}

void Clock::move(const Act& act, const State& state) {
    const double length = act.length_mm;
    if (act.by_machine) return may_pause(machine_retraction_s());
    if (!(length > 0)) return;
    Pace pace;
    pace.mm_s = act.feed_mm_min > 0 ? act.feed_mm_min / 60.0 * state.speed_factor : speed_.x;
    pace.mm_s2 = act.kind == Kind::bead       ? acceleration_.print
                 : act.kind == Kind::filament ? retract_mm_s2_
                                              : acceleration_.travel;
    const double per_mm = 1.0 / length;
    if (!act.is_arc) {
        bound((act.to.x - act.from.x) * per_mm, 'X', pace);
        bound((act.to.y - act.from.y) * per_mm, 'Y', pace);
    }
    bound((act.to.z - act.from.z) * per_mm, 'Z', pace);
    bound(act.e_mm * per_mm, 'E', pace);
    least_s_ += length / pace.mm_s;
    if (act.is_arc) {
        // Somewhere on its way it may run along either axis, and it must be held on its circle.
        bound(1.0, 'X', pace);
        bound(1.0, 'Y', pace);
        pace.mm_s = std::min(pace.mm_s, std::sqrt(pace.mm_s2 * act.arc.radius));
    }
    most_s_ += rest_to_rest_s(length, pace.mm_s, pace.mm_s2);
}

/// How far and how fast the machine retracts by itself is its own affair: as long as is usual,
/// at the most, and perhaps in no time.
double Clock::machine_retraction_s() const {
    const plan::Retract usual;
    return rest_to_rest_s(usual.length_mm, std::min(usual.restart_speed_mm_s, speed_.e),
                          std::min(retract_mm_s2_, acceleration_.e));
}

void Clock::pause(double seconds) {
    least_s_ += std::max(0.0, seconds);
    most_s_ += std::max(0.0, seconds);
}

/// M201 and M203 limit the axes; M204: S for all, P for prints, T for travels, R for retracts
/// (common practice).
void Clock::adopt(const Settings& settings) {
    const auto said = [&](std::uint32_t command, char letter, double otherwise) {
        const double value = settings.number(command, letter, otherwise);
        return value > 0 ? value : otherwise;
    };
    const plan::Accelerations& a = machine_.acceleration;
    const double all = settings.number(204, 'S', 0.0);
    acceleration_ = {said(201, 'X', a.x),
                     said(201, 'Y', a.y),
                     said(201, 'Z', a.z),
                     said(201, 'E', a.e),
                     said(204, 'P', all > 0 ? all : a.print),
                     said(204, 'T', all > 0 ? all : a.travel)};
    retract_mm_s2_ = said(204, 'R', a.travel);
    const double per_s = machine_.read.speed_limit_per_s;
    const plan::PerAxis& v = machine_.speed;
    speed_ = {said(203, 'X', v.x * per_s) / per_s, said(203, 'Y', v.y * per_s) / per_s,
              said(203, 'Z', v.z * per_s) / per_s, said(203, 'E', v.e * per_s) / per_s};
}

}  // namespace durograde::check
