#pragma once

#include <string_view>

#include "plan/keys.hpp"
#include "plan/plan.hpp"

/// What tools and zones say of the way from one bead to another: `retract`, `wipe`, `coast`, `hop`,
/// `travel_speed`.
namespace durograde::plan {

/// Reads those keys of `table`, a [[tool]] or [[zone]] as `owner` says; what they leave out is as
/// in `base`. Only a tool may say `repeats`.
Travel read_travel(TableReader& table, std::string_view owner, const Travel& base);

/// The first of those keys that the table has, or nothing.
std::string_view travel_key(TableReader& table);

/// The first key in which the two differ, or nothing.
std::string_view differing_key(const Travel& a, const Travel& b);

}  // namespace durograde::plan
