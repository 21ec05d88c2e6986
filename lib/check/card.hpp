#pragma once

#include <span>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::check {

/// What the plan's material does between its measured points, by the proof's own interpolation.
/// Through every point and never beyond its two neighbours: cubic pieces whose slope at a point is
/// the weighted harmonic mean of both secants there, and none where they differ in sign (Fritsch
/// and Butland, SIAM J. Sci. Stat. Comput. 5, 1984; from memory); at both ends that of the secant.
/// Beyond the points their last values hold.
class Card {
  public:
    /// Two points or more, by rising temperature.
    explicit Card(std::span<const plan::MaterialPoint> points);

    /// Factor on the input's filament.
    [[nodiscard]] double flow(double celsius) const { return at(flow_, celsius); }
    /// In the first minute idle.
    [[nodiscard]] double ooze_mm3(double celsius) const { return at(ooze_, celsius); }
    /// 0 where not measured.
    [[nodiscard]] double hardness_shore_a(double celsius) const { return at(hardness_, celsius); }
    /// Of filament; 0 where not measured.
    [[nodiscard]] double max_flow_mm3_s(double celsius) const { return at(max_flow_, celsius); }

  private:
    struct Column {
        std::vector<double> values, slopes;
    };
    [[nodiscard]] Column column(std::span<const plan::MaterialPoint> points,
                                double plan::MaterialPoint::*member) const;
    [[nodiscard]] double at(const Column& column, double celsius) const;

    std::vector<double> celsius_;
    Column flow_, ooze_, hardness_, max_flow_;
};

}  // namespace durograde::check
