#pragma once

#include <map>

#include "check/clock.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// dT/dt = rise·u − loss·(T − ambient) over `seconds`: full power below the set-point, none above
/// it, and what holds it once it is met.
double temperature_after(const plan::Heater& heater, double celsius, double set_c, double seconds);
/// Seconds at full power from `from_c` up to `to_c`; 0 where it is that hot, a very long time where
/// it never gets there.
double heating_time_s(const plan::Heater& heater, double from_c, double to_c);
/// Seconds unheated from `from_c` down to `to_c`; a very long time where it never gets there.
double cooling_time_s(const plan::Heater& heater, double from_c, double to_c);

/// Where the set-points of the output leave the tools' temperatures. Time is known between two
/// bounds, and so is each temperature.
class HeatModel {
  public:
    /// Both must outlive the model. Every tool starts at its ambient temperature, with no
    /// set-point.
    HeatModel(const plan::Plan& plan, const Clock& clock);

    struct Tool {
        const plan::Tool* plan = nullptr;  ///< nullptr: a number that the plan does not know
        bool given = false;                ///< a set-point was given
        bool reached = false;              ///< waited for since the set-point was given
        double set_c = 0.0;
        double low_c = 25.0, high_c = 25.0;  ///< between which it is
    };

    void set(int tool, double celsius);
    /// The output waits until the tool is at its set-point; -1: every tool. Returns the longest
    /// that this may take, s.
    /// A wait that does not hold while a tool `cools` leaves one that is too hot as it is.
    double wait(int tool, bool cools);

    /// The tool as it stands now.
    const Tool& now(int tool);
    /// 0 where none was given.
    [[nodiscard]] double set_point_c(int tool) const {
        const auto found = tools_.find(tool);
        return found == tools_.end() ? 0.0 : found->second.set_c;
    }

    /// Seconds at full power up to its set-point from a standby that the plan gives, or from the
    /// coolest that the tool may be now where that is cooler; a very long time where it never gets
    /// there.
    double heating_s(int tool);

  private:
    struct Times {
        double short_s = 0.0, long_s = 0.0;
    };
    void catch_up(int number, Tool& tool);
    [[nodiscard]] double longest_wait_s(const Tool& tool) const;

    const Clock& clock_;
    std::map<int, Tool> tools_;
    std::map<int, Times> seen_;
};

}  // namespace durograde::check
