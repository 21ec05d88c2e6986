#pragma once

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
        is_lost_ = false;
    }
    /// A move of the output that is no bead.
    void move(const Act& act, std::uint64_t output_line);
    /// `tool` is put away for another, the nozzle being at `state`.
    void swap(int tool, const State& state, std::uint64_t output_line);
    /// The tool in use primes here.
    void prime(const Point& at, bool at_spot, std::uint64_t output_line);

  private:
    const plan::Plan& plan_;
    const Travels& travels_;
    const Layer& layer_;
    const region::Footprint& footprint_;
    Ledger& ledger_;
    HeightMap heights_;
    bool is_lost_ = false;  ///< tools were changed: the next way begins nobody knows where
};

}  // namespace durograde::check
