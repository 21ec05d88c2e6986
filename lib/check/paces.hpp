#pragma once

#include "check/act.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// The fastest of some moves beside beads, along each kind of way, mm/min.
struct Paces {
    double flat = 0.0;      ///< along the bed
    double rise = 0.0;      ///< straight up and down
    double filament = 0.0;  ///< of filament retracted or fed
    bool travels = false;   ///< along the bed, without filament

    /// Those of one move, as its line has it. Nothing for a bead.
    static Paces of(const Act& act);
    /// What the plan's own lines around a swap may say: feeds of the machine's fastest axis, as no
    /// line tells which axis moves by a feed that stays in force.
    static Paces around_swap(const plan::Machine& machine);
    /// The faster one of each kind.
    void note(const Paces& other);
    /// What a program graded by `plan` may do, of an input whose own are these: the tools' speeds,
    /// the machine's where the input says none, and never less than the input itself.
    [[nodiscard]] Paces allowed(const plan::Plan& plan) const;
};

}  // namespace durograde::check
