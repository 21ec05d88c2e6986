#pragma once

#include <vector>

namespace durograde::grade {

/// How evenly filament goes through the hot end: foaming needs a steady melt, and what flows at
/// half the rate stays in the heat twice as long.
class FlowSpread {
  public:
    /// `volume_mm3` are extruded at `flow_mm3_s`, both above 0. Flows below 0.001 and above 10,000
    /// count as these.
    void add(double flow_mm3_s, double volume_mm3);

    [[nodiscard]] bool empty() const noexcept { return volume_mm3_ <= 0; }
    /// The flow that `share` of the volume is extruded more slowly than, mm³/s, to 1 %; 0 where
    /// there is none.
    [[nodiscard]] double at(double share) const;

  private:
    std::vector<double> volumes_;  ///< by the logarithm of the flow, mm³
    double volume_mm3_ = 0.0;
};

}  // namespace durograde::grade
