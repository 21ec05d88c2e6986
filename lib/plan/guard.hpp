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
    std::string code, text, mend;
};

/// Finds what the TOML parser (version 3.3) does not survive, in one pass without recursion:
/// - It nests one table for each part of a dotted key, without a limit of its own: 200,000 parts
///   overflow the stack.
/// - It tells white space beyond ASCII by a function that is undefined for most of the characters
///   below U+049A. It asks for it outside of strings and comments, where TOML 1.0 allows ASCII
///   only, and behind a backslash in strings of several lines. A quote right behind other text
///   begins no string for it.
std::optional<Guarded> guard(std::string_view text);

}  // namespace durograde::plan
