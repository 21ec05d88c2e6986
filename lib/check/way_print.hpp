#pragma once

#include <cmath>
#include <cstdint>

#include "check/act.hpp"

namespace durograde::check {

/// What tells one way between two beads from another: its moves, where they lead,
/// and whether filament is retracted.
class WayPrint {
  public:
    void add(const Act& move) {
        draws_ = draws_ || move.e_mm < 0 || (move.by_machine && move.kind == Kind::filament);
        if (move.kind == Kind::filament || !(move.length_mm > 0)) return;
        ++moves_;
        // Weights of no common measure: other places do not come to the same sum.
        sum_ += static_cast<double>(moves_) * (move.to.x + 1.618 * move.to.y + 2.718 * move.to.z);
    }

    /// The input's own way, to rounding.
    friend bool operator==(const WayPrint& a, const WayPrint& b) {
        constexpr double rounding_mm = 1e-5;
        return a.moves_ == b.moves_ && a.draws_ == b.draws_ &&
               std::abs(a.sum_ - b.sum_) <= rounding_mm;
    }

  private:
    std::uint32_t moves_ = 0;
    bool draws_ = false;  ///< filament back, on the way
    double sum_ = 0.0;    ///< mm
};

}  // namespace durograde::check
