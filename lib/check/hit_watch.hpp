#pragma once

#include <vector>

#include "check/dip.hpp"
#include "check/gantry_watch.hpp"
#include "check/height_map.hpp"
#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/travels.hpp"

namespace durograde::check {

/// Nothing is hit: no way of the output runs through what is printed, tools are changed above it,
/// and none primes on a part; nor does a way go lower than the beads at both its ends. Where the
/// input's own ways run through it in a layer, that layer is the input's affair.
class HitWatch {
  public:
    /// All must outlive the watch. `layer` is filled anew from time to time.
    HitWatch(const plan::Plan& plan, const Travels& travels, const Layer& layer,
             const region::Footprint& footprint, Ledger& ledger)
        : plan_(plan),
          travels_(travels),
          layer_(layer),
          footprint_(footprint),
          ledger_(ledger),
          heights_(plan.machine.reach_x, plan.machine.reach_y),
          gantry_(plan.machine, ledger) {
        ledger.note(Invariant::nothing_hit, 0.0, HeightMap::slack_mm);
    }

    void print(const Act& bead, std::uint64_t output_line) {
        heights_.print(bead);
        gantry_.print(bead, output_line);
        if (is_lost_) confirm();
        judge_dip(dip_.bead(bead), layer_.dip_mm, output_line);
    }
    /// Filament was laid straight up.
    void raise(const Act& pillar, std::uint64_t output_line) {
        heights_.print(pillar);
        gantry_.print(pillar, output_line);
    }
    /// A move of the output that is no bead, and what holds behind it.
    void move(const Act& act, const State& state, std::uint64_t output_line);
    /// A move of the plan's own lines around a swap, which begins where it is known to.
    void move_around_swap(const Act& act, std::uint64_t output_line);
    /// A move of theirs that ends at a known height.
    void go_to_height(const Act& act, std::uint64_t output_line) { gantry_.move(act, output_line); }
    /// `tool` is put away for another, the nozzle being at `state`.
    void swap(int tool, const State& state, std::uint64_t output_line);
    /// The tool in use primes here.
    void prime(const Point& at, bool at_spot, std::uint64_t output_line);
    /// Nothing is printed any more.
    void finish(std::uint64_t output_line);

  private:
    void confirm();
    void judge_dip(double dip_mm, double of_input_mm, std::uint64_t output_line);
    void judge_height(int tool, double z_mm, std::uint64_t output_line, const char* text);
    void doubt(double off_mm, std::uint64_t output_line, const char* text);

    const plan::Plan& plan_;
    const Travels& travels_;
    const Layer& layer_;
    const region::Footprint& footprint_;
    Ledger& ledger_;
    HeightMap heights_;
    Dip dip_;
    GantryWatch gantry_;
    bool is_lost_ = false;    ///< tools were changed since the last bead
    bool is_placed_ = false;  ///< and X and Y were gone to since
    /// What was wrong at a swap counts where a bead follows: the program's last lines are its own.
    struct Doubt {
        double off_mm = 0.0;
        std::uint64_t line = 0;
        const char* text = nullptr;
    };
    std::vector<Doubt> doubts_;
};

}  // namespace durograde::check
