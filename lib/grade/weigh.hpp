#pragma once

#include <map>
#include <utility>

#include "grade/figures.hpp"
#include "plan/plan.hpp"

/// Masses of what the cutting of beads into zones does not know of.
namespace durograde::grade {

/// Takes what was left unextruded by coasting, mm of filament by zone and part, off their figures.
void take_off_coasted(const plan::Plan& plan,
                      const std::map<std::pair<int, int>, double>& coasted_mm, Figures& figures);

/// The mass of what stands as it is before and after the graded beads.
void weigh_start_and_end(const plan::Plan& plan, Figures& figures);

}  // namespace durograde::grade
