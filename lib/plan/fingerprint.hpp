#pragma once

#include <span>
#include <string>

#include "plan/plan.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// What tells one plan from another: a digest of its values as merged, 32 hexadecimal digits. The
/// order of keys, comments, layout, and how a number is spelled do not count; the bytes of mesh
/// files among `shapes` do.
std::string fingerprint(const Value& root, std::span<const Shape> shapes);

}  // namespace durograde::plan
