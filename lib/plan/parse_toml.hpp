#pragma once

#include <cstdint>
#include <optional>

#include "plan/findings.hpp"
#include "plan/sources.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// Parses one of the texts as TOML 1.0. What does not parse goes to `findings`.
std::optional<Value> parse_toml(const Sources& sources, std::uint32_t source, Findings& findings);

}  // namespace durograde::plan
