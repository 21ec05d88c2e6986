#include "check/hit_watch.hpp"

#include <algorithm>

namespace durograde::check {

void HitWatch::move(const Act& act, std::uint64_t output_line) {
    if (layer_.hits) return;
    bool hits = false;
    if (is_lost_) {
        if (!(distance_xy(act.from, act.to) > 0)) return;
        is_lost_ = false;
        hits = std::min(act.from.z, act.to.z) < heights_.top_mm() - HeightMap::slack_mm;
    } else {
        hits = heights_.is_hit_by(act);
    }
    if (!hits) return;
    ledger_.fail(Invariant::nothing_hit, heights_.top_mm() - std::min(act.from.z, act.to.z),
                 {0, output_line}, "runs through what is printed already");
}

/// Above all that is printed, by the hop of the tool that goes.
void HitWatch::swap(int tool, const State& state, std::uint64_t output_line) {
    is_lost_ = true;
    if (layer_.hits || !state.known[2]) return;
    const double hop_mm = travels_.of(tool).hop_mm.value_or(0.0);
    const double wanted_mm =
        std::min(heights_.top_mm() + hop_mm, std::max(plan_.machine.reach_z.high, state.at.z));
    if (state.at.z >= wanted_mm - HeightMap::slack_mm) return;
    ledger_.fail(Invariant::nothing_hit, wanted_mm - state.at.z, {0, output_line},
                 "tools are changed lower than what is printed and the hop above it");
}

void HitWatch::prime(const Point& at, bool at_spot, std::uint64_t output_line) {
    if (!at_spot || footprint_.part_at(at.x, at.y) == region::outside) return;
    ledger_.fail(Invariant::nothing_hit, 0.0, {0, output_line}, "primes on a part");
}

}  // namespace durograde::check
