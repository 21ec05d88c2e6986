#pragma once

#include <cstddef>
#include <span>
#include <string_view>

#include "condition.hpp"

/// What is said about conditions that do not parse: wording in one place, apart from the grammar.
/// `at` is a byte offset into the condition's text.
namespace durograde::grammar {

/// A word of the condition language, or a sign, and what it does.
struct NamedOp {
    std::string_view text;
    Op op;
};

std::span<const NamedOp> field_words();
std::span<const NamedOp> function_words();

constexpr bool is_blank(char byte) {
    return byte == ' ' || byte == '\t' || byte == '\n' || byte == '\r';
}
constexpr bool is_digit(char byte) {
    return byte >= '0' && byte <= '9';
}

/// The word (letters, digits, underscores, no digit first) that begins at `at`; may be empty.
std::string_view word_at(std::string_view text, std::size_t at);

ConditionError operand_missing(std::string_view text, std::size_t at);
ConditionError shape_missing(std::string_view text, std::size_t at);
ConditionError bracket_not_opened(std::string_view text, std::size_t at);
ConditionError bracket_not_closed(std::string_view text, std::size_t at);
ConditionError shape_not_closed(std::string_view text, std::size_t at);
ConditionError number_malformed(std::size_t at);
ConditionError number_too_large(std::size_t at);
/// What stands after a complete condition.
ConditionError left_over(std::string_view text, std::size_t at);

}  // namespace durograde::grammar
