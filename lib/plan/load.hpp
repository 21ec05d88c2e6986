#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::plan {

/// One `--set KEY=VALUE` of the command line. KEY is a dotted path, with a number for the entry of
/// an array: the entry's own `number` where it has one ("tool.1.temperature"), else its place, from
/// 0 ("zone.0.tool"). VALUE is TOML.
struct Override {
    std::string key, value;
};

/// Loads, merges the includes of, and validates a plan. Throws `Failure` (Exit::bad_plan) with
/// every diagnostic found, each with file, line and column; Exit::no_input where `file` itself
/// cannot be opened. An include that cannot is a fault of the plan that names it. What is allowed
/// and yet hardly meant is in the plan's `warnings`. `files_read` gets the path of every file that
/// was read, meshes too, also where the plan is wrong.
Plan load(const std::string& file, const std::vector<Override>& overrides = {},
          std::vector<std::string>* files_read = nullptr);

/// The same from text; includes are looked up beside `file`.
Plan load_text(std::string_view toml, const std::string& file,
               const std::vector<Override>& overrides = {});

}  // namespace durograde::plan
