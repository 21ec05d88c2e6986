#pragma once

#include <vector>

#include "plan/findings.hpp"
#include "plan/load.hpp"
#include "plan/sources.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// Lays what the command line sets over the merged plan, in order. What is wrong with an override
/// itself goes to `findings`, at "--set KEY".
void apply_overrides(Value& root, const std::vector<Override>& overrides, Sources& sources,
                     Findings& findings);

}  // namespace durograde::plan
