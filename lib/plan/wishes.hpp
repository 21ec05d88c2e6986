#pragma once

#include <optional>
#include <vector>

#include "plan/keys.hpp"
#include "plan/plan.hpp"

/// Zones that ask for a hardness, and not for a tool.
namespace durograde::plan {

/// The hardness under `hardness` of a zone, held against material and tools of `plan`.
std::optional<double> read_wish(TableReader& zone, const Plan& plan);

/// Whether the material can be asked for a hardness at all, or the reason, at `spot`, in the
/// findings.
bool can_ask_for_hardness(const Plan& plan, const Spot& spot, Findings& findings);

/// Refuses what would take too long to choose set-points for. `zones` may be empty.
void limit_wishes(const std::vector<Zone>& zones, const Plan& plan, const Spot& spot,
                  Findings& findings);

}  // namespace durograde::plan
