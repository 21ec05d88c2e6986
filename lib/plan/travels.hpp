#pragma once

#include "plan/plan.hpp"

namespace durograde::plan {

/// Calls `take` with each way to go from beads that the plan says: the tools' own, and the zones'.
template <typename Take>
void for_travels(const Plan& plan, Take take) {
    for (const Tool& tool : plan.tools) take(tool.travel);
    for (const Zone& zone : plan.zones)
        if (zone.travel) take(*zone.travel);
}

/// Whether some tool rises on its ways over what is printed.
inline bool hops(const Plan& plan) {
    bool any = false;
    for_travels(plan, [&](const Travel& travel) { any = any || travel.hop_mm.value_or(0.0) > 0; });
    return any;
}

}  // namespace durograde::plan
