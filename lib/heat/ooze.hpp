#pragma once

#include <optional>
#include <vector>

#include "plan/material_curve.hpp"
#include "plan/plan.hpp"

namespace durograde::heat {

/// What a tool loses while it is idle. The material's points say how much flows out in the first
/// minute at a temperature; it is taken to go on at that rate. Below the coldest point the rate
/// falls in a straight line, to nothing at machine.coldest_extrusion (common practice, no source).
class Ooze {
  public:
    /// Without material, or without `ooze` in its points, nothing oozes. `plan` must outlive this.
    explicit Ooze(const plan::Plan& plan);

    /// mm³/s at a temperature.
    [[nodiscard]] double rate_mm3_s(double temperature_c) const;

    /// A set-point from a moment on, and how hot the tool is then.
    struct Moment {
        double time_s = 0.0, set_point_c = 0.0, temperature_c = 0.0;
    };
    /// Volume lost from the first of `path` until `end_s`, mm³: the heater's curve taken in steps
    /// of a second, with the trapezoidal rule.
    [[nodiscard]] double lost_mm3(const plan::Heater& heater, const std::vector<Moment>& path,
                                  double end_s) const;

  private:
    [[nodiscard]] double lost_between(const plan::Heater& heater, const Moment& from,
                                      double end_s) const;

    const plan::Plan& plan_;
    std::optional<plan::Curve> curve_;
};

}  // namespace durograde::heat
