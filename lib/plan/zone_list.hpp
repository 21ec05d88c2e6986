#pragma once

#include <vector>

#include "plan/keys.hpp"
#include "plan/plan.hpp"

namespace durograde::plan {

/// Holds the zones of a plan against each other: `tables[i]` is where zone i was read. The softest
/// gets the usual `thinnest` where the plan says none.
void judge_zones(std::vector<TableReader>& tables, std::vector<Zone>& zones, const Plan& plan,
                 Findings& findings);

}  // namespace durograde::plan
