#pragma once

#include <cstddef>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::heat {

/// A moment of a tool's heat.
struct HeatPoint {
    double time_s = 0.0;
    double set_point_c = 0.0;  ///< in force from this moment on; 0 is off
    double temperature_c = 0.0;
};

/// A tool's set-points and temperatures over a print, as points: straight lines between them stay
/// within a degree of the heater's curve, until they are thinned. However long the print, there are
/// no more than `most_points`: when they are reached, of each four points in a row the coldest and
/// the hottest stay (as pictures of long series are thinned: Jugel et al., PVLDB 7 (2014) 797; from
/// memory), so that every point is true and the extremes are still there.
class History {
  public:
    static constexpr std::size_t most_points = 1000;

    /// Off, and at the ambient temperature.
    explicit History(const plan::Heater& heater);

    /// From `time_s` on the set-point is `set_point_c`, and the tool is then at `temperature_c`.
    /// What came before is known to the heater's model. Times never fall.
    void change(double time_s, double set_point_c, double temperature_c);
    /// The print ends at `time_s`.
    void end(double time_s);

    [[nodiscard]] const std::vector<HeatPoint>& points() const noexcept { return points_; }
    [[nodiscard]] bool is_thinned() const noexcept { return is_thinned_; }

  private:
    void go_to(double time_s);
    void add(const HeatPoint& point);
    void thin();

    plan::Heater heater_;
    double sample_k_ = 10.0;  ///< a curve is sampled where it has gone so far
    bool is_thinned_ = false;
    std::vector<HeatPoint> points_;
};

}  // namespace durograde::heat
