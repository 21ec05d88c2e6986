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
    /// A setting was given: accelerations may have changed.
    void adopt(const Settings& settings);

    [[nodiscard]] double least_s() const noexcept { return least_s_; }
    [[nodiscard]] double most_s() const noexcept { return most_s_; }

  private:
    const plan::Machine& machine_;
    double print_mm_s2_ = machine_.acceleration.print, travel_mm_s2_ = machine_.acceleration.travel;
    double least_s_ = 0.0, most_s_ = 0.0;
};

}  // namespace durograde::check
