#pragma once

#include <string>

#include "plan/value.hpp"

namespace durograde::plan {

/// What tells one plan from another: a digest of its values as merged, 32 hexadecimal digits. The
/// order of keys, comments, layout, and how a number is spelled do not count.
std::string fingerprint(const Value& root);

}  // namespace durograde::plan
