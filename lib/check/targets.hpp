#pragma once

#include <vector>

#include "plan/plan.hpp"

namespace durograde::check {

/// What a stretch of bead is to be printed with.
struct Target {
    static constexpr int no_tool = -1;

    int tool = no_tool;    ///< `no_tool` where no zone holds
    double celsius = 0.0;  ///< 0: the input never said
    double flow = 1.0;     ///< factor on the input's filament
    bool keeps = false;    ///< as the input had it
    /// Between which the volume fed in a second is kept, mm³; the high one 0: not asked for.
    double least_mm3_s = 0.0, most_mm3_s = 0.0;

    friend bool operator==(const Target&, const Target&) = default;
};

/// The targets that a plan leads to.
class Targets {
  public:
    explicit Targets(const plan::Plan& plan);

    /// Of a bead in `zone` (or `region::no_zone`) that the input prints with `tool` at `celsius`.
    [[nodiscard]] Target of_zone(int zone, int tool, double celsius) const;
    [[nodiscard]] Target of_outside(int tool, double celsius) const;

  private:
    std::vector<Target> zones_;  ///< without a tool where a zone keeps what the input had
    Target outside_;
};

}  // namespace durograde::check
