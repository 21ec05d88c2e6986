#pragma once

#include <algorithm>
#include <utility>

#include "check/act.hpp"

namespace durograde::check {

/// How far the ways of a program go below the beads at both their ends.
class Dip {
  public:
    /// A move that is no bead, and what holds behind it.
    void move(const Act& act, const State& state) {
        if (state.known[2]) lowest_mm_ = std::min(lowest_mm_, act.to.z);
    }
    /// A bead: how far the way to it went below it and the bead before, mm; 0 where it did not.
    double bead(const Act& act) {
        const double floor_mm = std::min(last_mm_, act.from.z);
        last_mm_ = act.to.z;
        return std::max(0.0, floor_mm - std::exchange(lowest_mm_, nowhere_mm));
    }
    /// No bead follows.
    [[nodiscard]] double end() const {
        return last_mm_ < nowhere_mm ? std::max(0.0, last_mm_ - lowest_mm_) : 0.0;
    }

  private:
    static constexpr double nowhere_mm = 1e9;
    double lowest_mm_ = nowhere_mm, last_mm_ = nowhere_mm;
};

}  // namespace durograde::check
