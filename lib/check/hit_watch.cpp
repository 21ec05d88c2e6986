#include "check/hit_watch.hpp"

#include <algorithm>

namespace durograde::check {

void HitWatch::doubt(double off_mm, std::uint64_t output_line, const char* text) {
    doubts_.push_back({off_mm, output_line, text});
}

void HitWatch::confirm() {
    is_lost_ = false;
    for (const Doubt& found : doubts_)
        ledger_.fail(Invariant::nothing_hit, found.off_mm, {0, found.line}, found.text);
    doubts_.clear();
}

void HitWatch::move(const Act& act, std::uint64_t output_line) {
    if (layer_.hits) return;
    const double low_mm = std::min(act.from.z, act.to.z);
    constexpr const char* text = "runs through what is printed already";
    if (!is_lost_) {
        if (!heights_.is_hit_by(act)) return;
        return ledger_.fail(Invariant::nothing_hit, heights_.top_mm() - low_mm, {0, output_line},
                            text);
    }
    // Where the first way behind a swap comes from nobody knows: it goes above everything.
    const bool is_first = !is_placed_ && distance_xy(act.from, act.to) > 0;
    const bool hits = is_first     ? low_mm < heights_.top_mm() - HeightMap::slack_mm
                      : is_placed_ ? heights_.is_hit_by(act)
                                   : false;
    is_placed_ = is_placed_ || is_first;
    if (hits) doubt(heights_.top_mm() - low_mm, output_line, text);
}

void HitWatch::move_around_swap(const Act& act, std::uint64_t output_line) {
    if (layer_.hits || !heights_.is_hit_by(act)) return;
    ledger_.fail(Invariant::nothing_hit, heights_.top_mm() - std::min(act.from.z, act.to.z),
                 {0, output_line}, "runs through what is printed already");
}

/// Above all that is printed, by the hop of the tool that goes.
void HitWatch::swap(int tool, const State& state, std::uint64_t output_line) {
    is_lost_ = true;
    is_placed_ = false;
    if (layer_.hits || !state.known[2]) return;
    const double hop_mm = travels_.of(tool).hop_mm.value_or(0.0);
    const double wanted_mm =
        std::min(heights_.top_mm() + hop_mm, std::max(plan_.machine.reach_z.high, state.at.z));
    if (state.at.z >= wanted_mm - HeightMap::slack_mm) return;
    doubt(wanted_mm - state.at.z, output_line,
          "tools are changed lower than what is printed and the hop above it");
}

void HitWatch::prime(const Point& at, bool at_spot, std::uint64_t output_line) {
    if (!at_spot || footprint_.part_at(at.x, at.y) == region::outside) return;
    ledger_.fail(Invariant::nothing_hit, 0.0, {0, output_line}, "primes on a part");
}

}  // namespace durograde::check
