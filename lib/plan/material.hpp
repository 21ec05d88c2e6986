#pragma once

#include <optional>
#include <string>
#include <vector>

namespace durograde::plan {

/// What measuring again would differ by: one standard deviation of each value; 0 where not given.
struct MaterialSpread {
    double flow = 0.0, density_g_cm3 = 0.0, hardness_shore_a = 0.0, ooze_mm3 = 0.0,
           max_flow_mm3_s = 0.0;
};

struct MaterialPoint {
    double temperature_c = 0.0;
    double flow = 1.0;
    double density_g_cm3 = 0.0;     ///< 0 where not given
    double hardness_shore_a = 0.0;  ///< 0 where not given
    double ooze_mm3 = 0.0;          ///< in the first minute idle
    double max_flow_mm3_s = 0.0;    ///< of filament; 0 where not given
    MaterialSpread spread = {};
};

struct Material {
    std::string name;
    double price_per_kg = 0.0;
    std::optional<double> density_g_cm3;  ///< of the filament itself, where measured
    std::vector<MaterialPoint> points;    ///< by rising temperature, two or more

    /// Of the filament that goes in: as measured, else that of the coldest point, which is taken
    /// for unfoamed; 0 where neither is given.
    [[nodiscard]] double filament_density_g_cm3() const {
        return density_g_cm3.value_or(points.front().density_g_cm3);
    }
};

}  // namespace durograde::plan
