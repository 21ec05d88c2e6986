#pragma once

#include "plan/findings.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// Lays `later` over `base`: tables are merged key by key, everything else, lists too, is replaced
/// whole. `cornering` is a choice between two forms and is replaced as well. A table with more than
/// `most_keys` goes to `findings`, and nothing more is merged.
void merge(Value& base, Value later, Findings& findings);

/// Many times what any table of a plan has: keys are looked up one after the other.
inline constexpr std::size_t most_keys = 1000;

/// The same for what the command line sets: a table laid over a list names the list's entries by
/// their own `number` where they have one, as tools do (tool.1.temperature), else by their place,
/// from 0 (zone.0.tool). An entry that is not there goes to `findings`.
void merge_by_index(Value& base, Value later, Findings& findings);

}  // namespace durograde::plan
