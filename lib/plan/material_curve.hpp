#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::plan {

/// What the material is taken to do at one temperature, and where that is from.
struct CardValues {
    double temperature_c = 0.0;
    double flow = 1.0;
    // 0 where not measured.
    double density_g_cm3 = 0.0, hardness_shore_a = 0.0, ooze_mm3 = 0.0, max_flow_mm3_s = 0.0;
    MaterialSpread spread;  ///< between points as the values are: by a monotone curve
    /// The measured points around it; both are one where it was measured at that temperature.
    double from_c = 0.0, to_c = 0.0;

    [[nodiscard]] bool is_measured() const noexcept { return from_c == to_c; }
};

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
    /// Of filament; 0 where not measured.
    [[nodiscard]] double max_flow_mm3_s(double temperature_c) const {
        return max_flow_(temperature_c);
    }
    [[nodiscard]] CardValues at(double temperature_c) const;
    /// The way back: where the material has this hardness. Nothing beyond what was measured, or
    /// where the hardness does not change one way all along.
    [[nodiscard]] std::optional<double> temperature_c(double hardness_shore_a) const;

  private:
    using Function = std::function<double(double)>;
    std::vector<double> temperatures_c_;
    Function flow_, density_, hardness_, ooze_, max_flow_;
    Function flow_spread_, density_spread_, hardness_spread_, ooze_spread_, max_flow_spread_;
    bool hardness_is_monotone_ = false;
};

/// The monotone curve described above through (x, y): two or more points by rising x.
std::function<double(double)> monotone_curve(std::vector<double> x, std::vector<double> y);

/// Where `curve`, which rises all along from `low` to `high` or falls all along, has the value
/// `wanted`: to the last bits of a double. Nothing where the value lies beyond its ends.
std::optional<double> inverse(const std::function<double(double)>& curve, double low, double high,
                              double wanted);

/// True where `values` rise strictly all along, or fall so.
bool is_one_to_one(const std::vector<double>& values);

}  // namespace durograde::plan
