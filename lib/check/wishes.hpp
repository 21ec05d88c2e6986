#pragma once

#include <optional>
#include <string>

#include "check/first_look.hpp"
#include "check/ledger.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// The plan with its wishes answered as the output says that it answers them, in lines of its own
/// at its begin. Whether the tools can be set so, and no other set-points would do better, is
/// judged here: by how much bead of the input, as this proof reads it, lies in each zone, and by a
/// way of its own to the best there is. What does not hold goes to `ledger`; there is no plan where
/// nothing can be gone by. Throws Failure as `measure_depth`.
std::optional<plan::Plan> answered(const plan::Plan& plan, const FirstLook& look, int after_fd,
                                   const std::string& before_name, Ledger& ledger);

}  // namespace durograde::check
