#include "check/paces.hpp"

#include <algorithm>
#include <cmath>

#include "plan/travels.hpp"

namespace durograde::check {
namespace {

void take_travel(const plan::Travel& travel, Paces& paces) {
    if (travel.speed_mm_s) paces.flat = std::max(paces.flat, *travel.speed_mm_s * 60);
    if (travel.wipe) paces.flat = std::max(paces.flat, travel.wipe->speed_mm_s * 60);
    if (travel.retract)
        paces.filament = std::max({paces.filament, travel.retract->speed_mm_s * 60,
                                   travel.retract->restart_speed_mm_s * 60});
}

}  // namespace

/// The feed holds for the path along X, Y and Z together where any of them moves, else for the
/// filament (common practice, no source).
Paces Paces::of(const Act& act) {
    if (act.kind == Kind::bead || !(act.feed_mm_min > 0)) return {};
    if (act.kind == Kind::filament)
        return {0.0, 0.0, act.by_machine ? 0.0 : act.feed_mm_min, false};
    if (!(act.length_mm > 0)) return {};
    const double flat_mm = act.is_arc ? act.arc.length_mm() : distance_xy(act.from, act.to);
    const double per_mm = act.feed_mm_min / act.length_mm;
    // What rises on its way along the bed is slowed down by every controller; it hits nothing.
    const double rise_mm = flat_mm > 0 ? 0.0 : std::abs(act.to.z - act.from.z);
    return {flat_mm * per_mm, rise_mm * per_mm, std::abs(act.e_mm) * per_mm,
            act.kind == Kind::travel && flat_mm > 0};
}

Paces Paces::around_swap(const plan::Machine& machine) {
    const double most = 60 * std::max({machine.speed.x, machine.speed.y, machine.speed.z});
    return {most, most, most, true};
}

void Paces::note(const Paces& other) {
    flat = std::max(flat, other.flat);
    rise = std::max(rise, other.rise);
    filament = std::max(filament, other.filament);
    travels = travels || other.travels;
}

Paces Paces::allowed(const plan::Plan& plan) const {
    const plan::Machine& machine = plan.machine;
    Paces most{travels ? flat : machine.fastest_mm_min(), machine.speed.z * 60,
               machine.speed.e * 60, true};
    most.note(*this);
    plan::for_travels(plan, [&](const plan::Travel& travel) { take_travel(travel, most); });
    return most;
}

}  // namespace durograde::check
