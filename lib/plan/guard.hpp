#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

namespace durograde::plan {

inline constexpr std::size_t key_parts_limit = 16;  ///< of a dotted key or a table's header
inline constexpr std::size_t nesting_limit = 16;    ///< brackets and braces inside one another

/// Why a text is not given to the TOML parser.
struct Guarded {
    std::size_t offset = 0;
    std::string text, mend;
};

/// Finds what would make the TOML parser recurse too deeply: it nests one table for each part of a
/// dotted key, without a limit of its own, and 200,000 parts overflow the stack. Looks outside of
/// strings and comments only, in one pass.
std::optional<Guarded> guard(std::string_view text);

}  // namespace durograde::plan
