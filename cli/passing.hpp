#pragma once

#include <exception>

#include "text/diagnostic.hpp"

namespace durograde::cli {

/// What to tell of an exception that is no Failure. Memory, threads and descriptors that are not to
/// be had, and disks that fail, pass: the same command may succeed later (Exit::busy,
/// Exit::io_error). Whatever else it is, is a fault of the program (Exit::check_failed).
Failure failure_of(const std::exception& error);

}  // namespace durograde::cli
