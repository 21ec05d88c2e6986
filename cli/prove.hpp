#pragma once

#include <string>

#include "check/check.hpp"
#include "text/program_input.hpp"

namespace durograde::cli {

/// Proves that the program in `after_fd` is `before` graded by `plan`, by code that shares nothing
/// with what graded it. Throws Failure (Exit::check_failed) that names each invariant that fell,
/// with the line of the input and the line of the output.
check::Verdict prove(const plan::Plan& plan, ProgramInput& before, int after_fd,
                     const std::string& after_name);

}  // namespace durograde::cli
