#pragma once

#include <functional>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::plan {

/// What the material does at any temperature between its measured points: through every point,
/// never beyond its neighbours, by cubic Hermite pieces with Fritsch-Butland slopes (the weighted
/// harmonic mean of the neighbouring secants, 0 at a local extremum) and the one-sided secant at
/// both ends. Two points give the straight line. Exactly constant where all points have the same
/// value.
///
/// Copies share their tables; reading is safe from several threads.
class Curve {
  public:
    /// `points` by rising temperature, two or more, temperatures distinct.
    explicit Curve(const std::vector<MaterialPoint>& points);

    // Beyond the measured range the value of the nearest point is given. A plan whose tools extrude
    // there is refused by the loader; a standby may lie below.

    /// Factor on the input's filament that keeps the bead's size.
    [[nodiscard]] double flow(double temperature_c) const { return flow_(temperature_c); }
    /// 0 where not measured.
    [[nodiscard]] double density_g_cm3(double temperature_c) const {
        return density_(temperature_c);
    }
    /// 0 where not measured.
    [[nodiscard]] double hardness_shore_a(double temperature_c) const {
        return hardness_(temperature_c);
    }
    /// Lost in the first minute idle.
    [[nodiscard]] double ooze_mm3(double temperature_c) const { return ooze_(temperature_c); }

  private:
    using Function = std::function<double(double)>;
    Function flow_, density_, hardness_, ooze_;
};

/// The monotone curve described above through (x, y): two or more points by rising x.
std::function<double(double)> monotone_curve(std::vector<double> x, std::vector<double> y);

}  // namespace durograde::plan
