#pragma once

#include <string>

#include "job.hpp"

namespace durograde::cli {

/// Notes on an open output which job it is made of: the job's path, as an attribute of the file, so
/// that the program's bytes stay the same wherever it was made. Some file systems keep none.
void note_origin(int output_fd, const Job& job);

/// The path of the job that the file at `output` was made of; empty where nothing tells.
std::string origin_of(const std::string& output);

/// The job's path as `note_origin` notes it.
std::string origin_path(const Job& job);

}  // namespace durograde::cli
