#pragma once

#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/precision.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Settings kept: fan, accelerations, overrides and labels of beads, and what the output stands at
/// beside lines that nothing may move across.
class SettingWatch {
  public:
    /// All arguments must outlive the watch.
    SettingWatch(const plan::Plan& plan, Ledger& ledger) : plan_(plan), ledger_(ledger) {}

    void fan() { fan_stale_ = false; }
    /// Another tool has another fan: what it does is not known until it is said.
    void swap() { fan_stale_ = true; }

    /// A piece of `stroke` is about to be printed at `state`. `graded` tells that the plan grades.
    void piece(const Stroke& stroke, const State& state, bool graded, Lines lines);

    /// The output has come to `pin`, standing at `standing`, with `tool` in use.
    void pin(const Pin& pin, const Standing& standing, int tool, const Precision& precision,
             std::uint64_t output_line);

  private:
    [[nodiscard]] bool is_right_fan(double asked, bool named, double duty, int tool,
                                    bool graded) const;
    void fail(Lines lines, const char* what);

    const plan::Plan& plan_;
    Ledger& ledger_;
    bool fan_stale_ = false;
};

}  // namespace durograde::check
