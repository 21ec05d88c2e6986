#pragma once

#include <span>
#include <vector>

#include "heat/heater_log.hpp"

namespace durograde::heat {

/// Rows of a log, each with a known duty up to the next.
using Stretch = std::span<const HeaterSample>;

/// What a log holds that a heater can be fitted to.
struct Coverage {
    std::vector<Stretch> stretches = {};
    std::size_t rows = 0;  ///< in all stretches
    double coldest_c = 0.0, hottest_c = 0.0;
    double seconds = 0.0;    ///< that the stretches last in all
    double heating_s = 0.0;  ///< with a duty of 0.1 or more
    double cooling_s = 0.0;  ///< with no more than half the highest duty
};

/// Looks through `log`, which must outlive what comes out. Throws Failure (Exit::bad_input) where
/// it covers too little for any fit, as `needed` (heat/fit.hpp) says.
Coverage cover(const HeaterLog& log);

}  // namespace durograde::heat
