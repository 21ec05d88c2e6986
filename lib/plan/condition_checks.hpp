#pragma once

#include <cstddef>

#include "condition.hpp"
#include "plan/findings.hpp"
#include "plan/plan.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// Holds a condition against shapes and depths of `plan`. `value` is the text that it was read
/// from, `before` bytes in front of which were put there by the reader.
void check_condition(const Value& value, const grammar::Condition& condition, std::size_t before,
                     const Plan& plan, Findings& findings);

}  // namespace durograde::plan
