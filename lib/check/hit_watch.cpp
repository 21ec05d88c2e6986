#include "check/hit_watch.hpp"

#include <algorithm>

namespace durograde::check {

void HitWatch::doubt(double off_mm, std::uint64_t output_line, const char* text) {
    doubts_.push_back({off_mm, output_line, text});
}

void HitWatch::confirm() {
    is_lost_ = false;
    for (const Doubt& found : doubts_)
        ledger_.fail(Invariant::nothing_hit, {found.off_mm, HeightMap::slack_mm}, {0, found.line},
                     found.text);
    doubts_.clear();
}

void HitWatch::move(const Act& act, const State& state, std::uint64_t output_line) {
    dip_.move(act, state);
    if (state.known[2]) gantry_.move(act, output_line);
    if (layer_.hits) return;
    const double low_mm = std::min(act.from.z, act.to.z);
    constexpr const char* text = "runs through what is printed already";
    if (!is_lost_) {
        if (!heights_.is_hit_by(act)) return;
        return ledger_.fail(Invariant::nothing_hit,
                            {heights_.top_mm() - low_mm, HeightMap::slack_mm}, {0, output_line},
                            text);
    }
    // Where the first way behind a swap comes from nobody knows: it goes above everything, by its
    // tool's hop.
    const bool is_first = !is_placed_ && distance_xy(act.from, act.to) > 0;
    if (is_first) {
        judge_height(state.tool, low_mm, output_line, text);
    } else if (is_placed_ && heights_.is_hit_by(act)) {
        doubt(heights_.top_mm() - low_mm, output_line, text);
    }
    is_placed_ = is_placed_ || is_first;
}

/// Above all that is printed by the tool's hop, as far as the machine reaches.
void HitWatch::judge_height(int tool, double z_mm, std::uint64_t output_line, const char* text) {
    const double hop_mm = travels_.of(tool).hop_mm.value_or(0.0);
    const double wanted_mm =
        std::min(heights_.top_mm() + hop_mm, std::max(plan_.machine.reach_z.high, z_mm));
    if (z_mm < wanted_mm - HeightMap::slack_mm) doubt(wanted_mm - z_mm, output_line, text);
}

void HitWatch::move_around_swap(const Act& act, std::uint64_t output_line) {
    if (layer_.hits || !heights_.is_hit_by(act)) return;
    ledger_.fail(Invariant::nothing_hit,
                 {heights_.top_mm() - std::min(act.from.z, act.to.z), HeightMap::slack_mm},
                 {0, output_line}, "runs through what is printed already");
}

/// Above all that is printed, by the hop of the tool that goes.
void HitWatch::swap(int tool, const State& state, std::uint64_t output_line) {
    is_lost_ = true;
    is_placed_ = false;
    if (layer_.hits || !state.known[2]) return;
    judge_height(tool, state.at.z, output_line,
                 "tools are changed lower than what is printed and the hop above it");
}

/// Beads have the nozzle's width, and the map knows their centre lines alone: what goes down beside
/// one goes into it all the same.
void HitWatch::judge_dip(double dip_mm, double of_input_mm, std::uint64_t output_line) {
    const double limit_mm = of_input_mm + HeightMap::slack_mm;
    if (dip_mm <= limit_mm) return;
    ledger_.fail(Invariant::nothing_hit, {dip_mm, limit_mm}, {0, output_line},
                 "is reached by a way that dips below the beads at both its ends");
}

void HitWatch::finish(std::uint64_t output_line) {
    const double limit_mm = layer_.end_dip_mm + HeightMap::slack_mm;
    if (dip_.end() <= limit_mm) return;
    ledger_.fail(Invariant::nothing_hit, {dip_.end(), limit_mm}, {0, output_line},
                 "the nozzle dips below the last bead, and not in the input");
}

void HitWatch::prime(const Point& at, bool at_spot, std::uint64_t output_line) {
    if (!at_spot || footprint_.part_at(at.x, at.y) == region::outside) return;
    ledger_.fail(Invariant::nothing_hit, {}, {0, output_line}, "primes on a part");
}

}  // namespace durograde::check
