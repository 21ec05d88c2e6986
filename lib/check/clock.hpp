#pragma once

#include "check/act.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Print time from both sides. `least_s` takes every move at its feed from begin to end, `most_s`
/// stops at the end of every move: what any planner with these limits does lies between. Swaps and
/// waits for heat count for the most only: a wait may find the tool hot.
class Clock {
  public:
    /// `machine` must outlive the clock.
    explicit Clock(const plan::Machine& machine) : machine_(machine) {}

    void move(const Act& act, const State& state);
    void pause(double seconds);
    /// Something that takes up to `seconds`.
    void may_pause(double seconds) { most_s_ += seconds; }
    /// Tools are swapped, which the plan says to take `seconds`: how long it does is the machine's.
    void swap(double seconds) {
        swaps_s_ += seconds;
        may_pause(seconds);
    }
    /// A setting was given: speeds and accelerations may have changed. What the program says
    /// counts more than what the plan does, as it does for the controller.
    void adopt(const Settings& settings);

    [[nodiscard]] double least_s() const noexcept { return least_s_; }
    [[nodiscard]] double most_s() const noexcept { return most_s_; }
    /// Of all swaps, as the plan has it; `least_s` leaves them out.
    [[nodiscard]] double swaps_s() const noexcept { return swaps_s_; }

  private:
    /// What one move keeps to.
    struct Pace {
        double mm_s = 0.0, mm_s2 = 0.0;
    };
    [[nodiscard]] double machine_retraction_s() const;
    void bound(double share, char axis, Pace& pace) const;

    const plan::Machine& machine_;
    plan::PerAxis speed_ = machine_.speed;
    plan::Accelerations acceleration_ = machine_.acceleration;
    double retract_mm_s2_ = machine_.acceleration.travel;
    double least_s_ = 0.0, most_s_ = 0.0, swaps_s_ = 0.0;
};

}  // namespace durograde::check
