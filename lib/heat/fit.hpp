#pragma once

#include <cstddef>
#include <string>

#include "heat/heater_log.hpp"
#include "plan/plan.hpp"

namespace durograde::heat {

/// A fitted value with its standard error, in the same unit.
struct Estimate {
    double value = 0.0, error = 0.0;
};

/// A heater that was fitted to a log, and how well.
struct HeaterFit {
    Estimate rise_k_s, loss_per_s, ambient_c;
    double rms_k = 0.0;      ///< what the model misses, root of the mean square
    double r_squared = 0.0;  ///< share of the temperature's variance that the model explains
    double condition = 0.0;  ///< of the slopes, each column scaled to length 1
    std::size_t rows = 0;    ///< that the fit rests on
    std::size_t stretches = 0;
    double seconds = 0.0;  ///< that the stretches last in all
    double lowest_c = 0.0, highest_c = 0.0;
    bool ambient_given = false;  ///< the log has it; it was not fitted

    [[nodiscard]] plan::Heater heater() const {
        return {rise_k_s.value, loss_per_s.value, ambient_c.value};
    }
};

/// What a log must give so that its fit can time a preheating.
namespace needed {
inline constexpr std::size_t rows = 20;
inline constexpr double range_k = 20.0;    ///< between the coldest and the hottest sample
inline constexpr double heating_s = 5.0;   ///< with a duty of 0.1 or more
inline constexpr double cooling_s = 10.0;  ///< with no more than half the highest duty
/// Heating up takes up to a minute, and set-points come 2 s early: 3 % is what that makes up for.
inline constexpr double relative_error = 0.03;  ///< standard error of rise and loss at most
inline constexpr double ambient_error_k = 5.0;  ///< loss·5 K is a hundredth of a usual rise
inline constexpr double condition = 1e5;        ///< beyond, only noise tells the values apart
/// Beyond this the model is not the log's: units, a fan that was switched, a broken sensor.
inline constexpr double rms_share = 0.05;  ///< of the range between coldest and hottest
}  // namespace needed

/// Fits dT/dt = rise·u − loss·(T − ambient) by least squares. The first guess comes from the
/// equation's integral over windows, T(b) − T(a) = rise·∫u dt − loss·∫T dt + loss·ambient·(b − a),
/// which is linear and less sensitive to noise than differences are; Gauss-Newton steps on the
/// computed curve refine it. Standard errors are those of least squares with independent errors of
/// one size; where neighbouring errors lean the same way they are widened by √((1 + r)/(1 − r)), r
/// their correlation (an autoregressive process of order one; textbook, from memory). Throws
/// Failure (Exit::bad_input) where the log does not determine the values as `needed` says.
HeaterFit fit_heater(const HeaterLog& log);

/// The fragment for a tool of the plan, with a line end: `heater = { rise = …, loss = …, … }`.
std::string toml(const HeaterFit& fit);

}  // namespace durograde::heat
