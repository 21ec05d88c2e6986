#pragma once

#include <string>

#include "job.hpp"

namespace durograde::cli {

/// Digest of all bytes of a program.
std::string digest_of(ProgramInput input);

/// Keeps the sliced program in `folder` under its own name, or with a number where that is taken by
/// another, or is the job itself, which is about to be replaced. No file is ever replaced. Gives
/// the path of the one that is kept. Throws Failure (Exit::cannot_create, Exit::io_error).
std::string keep_original(const Job& job, const std::string& folder);

}  // namespace durograde::cli
