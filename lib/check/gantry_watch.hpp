#pragma once

#include "check/act.hpp"
#include "check/ledger.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// What is printed never stands higher above the nozzle's tip than the machine's gantry leaves
/// room for, wherever on the bed.
class GantryWatch {
  public:
    /// Both must outlive the watch.
    GantryWatch(const plan::Machine& machine, Ledger& ledger)
        : room_mm_(machine.gantry_mm), ledger_(ledger) {}

    /// A move that ends at a known height.
    void move(const Act& act, std::uint64_t output_line) {
        if (!room_mm_ || top_mm_ - act.to.z <= *room_mm_ + slack_mm) return;
        ledger_.fail(Invariant::nothing_hit, {top_mm_ - act.to.z, *room_mm_ + slack_mm},
                     {0, output_line}, "goes lower than the gantry leaves room for");
    }
    /// A bead or a pillar.
    void print(const Act& act, std::uint64_t output_line) {
        move(act, output_line);
        // What is extruded above everything by more than any layer falls down.
        if (act.to.z - top_mm_ <= layer_mm) top_mm_ = act.to.z > top_mm_ ? act.to.z : top_mm_;
    }

  private:
    static constexpr double slack_mm = 0.05, layer_mm = 5.0;

    std::optional<double> room_mm_;
    Ledger& ledger_;
    double top_mm_ = 0.0;
};

}  // namespace durograde::check
