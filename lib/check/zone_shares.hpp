#pragma once

#include <string>
#include <vector>

#include "check/best_set_points.hpp"
#include "check/first_look.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// How much of the input's bead asks for which hardness, mm³, as `look` kept the beads. Boundaries
/// are taken without their interlock.
struct Shares {
    std::vector<double> zones;    ///< that lies in each zone of the plan
    std::vector<Asked> gradient;  ///< that follows the plan's gradient, by rising hardness
};
/// Throws Failure as `measure_depth`.
Shares shares_of(const plan::Plan& plan, const FirstLook& look, const std::string& before_name);

}  // namespace durograde::check
