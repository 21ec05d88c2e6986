#pragma once

#include <vector>

#include "check/height_map.hpp"
#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/travels.hpp"

namespace durograde::check {

/// Nothing is hit: no way of the output runs through what is printed, tools are changed above it,
/// and none primes on a part. Where the input's own ways run through it in a layer, that layer is
/// the input's affair.
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
          heights_(plan.machine.reach_x, plan.machine.reach_y) {}

    void print(const Act& bead) {
        heights_.print(bead);
        if (is_lost_) confirm();
    }
    /// A move of the output that is no bead.
    void move(const Act& act, std::uint64_t output_line);
    /// A move of the plan's own lines around a swap, which begins where it is known to.
    void move_around_swap(const Act& act, std::uint64_t output_line);
    /// `tool` is put away for another, the nozzle being at `state`.
    void swap(int tool, const State& state, std::uint64_t output_line);
    /// The tool in use primes here.
    void prime(const Point& at, bool at_spot, std::uint64_t output_line);

  private:
    void confirm();
    void doubt(double off_mm, std::uint64_t output_line, const char* text);

    const plan::Plan& plan_;
    const Travels& travels_;
    const Layer& layer_;
    const region::Footprint& footprint_;
    Ledger& ledger_;
    HeightMap heights_;
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
