#pragma once

#include <optional>
#include <string_view>

#include "condition.hpp"

namespace durograde::grammar {

/// What is beyond the limits of length and nesting, found without recursion: no text that passes
/// here can exhaust the stack of a parser that recurses for each bracket and prefix operator.
std::optional<ConditionError> beyond_limits(std::string_view text);

}  // namespace durograde::grammar
