#pragma once

#include <string>

#include "plan/plan.hpp"
#include "program/span.hpp"

namespace durograde::grade {

/// The purge block stands alone. Throws Failure (Exit::bad_input) where a bead of `span`, or of the
/// lines before it, comes nearer to it than Block::clearance_mm; `input` is the program's name.
void check_block(const plan::Block& block, const program::Span& span, const std::string& input);

}  // namespace durograde::grade
