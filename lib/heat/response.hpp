#pragma once

#include <Eigen/Core>
#include <span>

#include "heat/heater_log.hpp"
#include "plan/plan.hpp"

namespace durograde::heat {

/// How far the model misses one stretch of a log, and how that changes with the model.
struct Response {
    Eigen::VectorXd missing_k;  ///< measured less computed, a sample each
    Eigen::MatrixX3d slopes;    ///< change of the computed K per rise, loss, ambient
};

/// Runs dT/dt = rise·u − loss·(T − ambient) along `stretch`, in closed form from sample to sample
/// (first-order step response; Incropera & DeWitt, ch. 5), the duty held in between. The
/// temperature that it begins with is the one that fits best, and so it is in `slopes` (a variable
/// that the model is linear in can be eliminated: Golub & Pereyra, SIAM J. Numer. Anal. 10 (1973),
/// from memory). `loss_per_s` must be above 0.
Response respond(const plan::Heater& heater, std::span<const HeaterSample> stretch);

}  // namespace durograde::heat
