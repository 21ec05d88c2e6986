#pragma once

#include <optional>

#include "plan/keys.hpp"
#include "plan/plan.hpp"

/// The tables and lists within one [[tool]].
namespace durograde::plan {

Heater read_heater(TableReader& tool);
std::optional<Range> read_fan(TableReader& tool);
/// The spot must lie within the machine's reach.
std::optional<Prime> read_prime(TableReader& tool, const Machine& machine);

}  // namespace durograde::plan
