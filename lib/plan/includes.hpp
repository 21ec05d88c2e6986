#pragma once

#include <string>
#include <vector>

#include "plan/findings.hpp"
#include "plan/sources.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

inline constexpr std::size_t include_depth_limit = 8;
inline constexpr std::size_t include_count_limit = 64;  ///< files in all

/// A plan with all that it includes, as one table.
struct Gathered {
    Value root;
    std::vector<std::string> files;  ///< every file read, in the order of merging
};

/// Parses `text`, the first plan, and merges what it includes under it: the included files first,
/// in their order and each once, later ones over earlier ones, the file that includes them last.
/// They must be regular files below the folder of `file`, symbolic links resolved. What is wrong
/// goes to `findings`; the result is then incomplete.
Gathered gather(std::string text, const std::string& file, Sources& sources, Findings& findings);

}  // namespace durograde::plan
