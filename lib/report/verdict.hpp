#pragma once

#include <string>

#include "check/check.hpp"

namespace durograde::report {

/// What the checker found, for a person: an invariant a line, the first failures below it.
std::string text(const check::Verdict& verdict);

/// "worst 0.31 mm, limit 0.02 mm"; without the limit where there is none.
std::string measure(const check::Finding& finding);

/// One object: "format", "program", "held" and "checks", each with name, held, worst, limit
/// (null where there is none), unit, failures and the first places. Ends with a line end.
std::string json(const check::Verdict& verdict);

}  // namespace durograde::report
