#include "condition_faults.hpp"

#include <array>
#include <string>
#include <vector>

#include "text/diagnostic.hpp"

namespace durograde::grammar {
namespace {

constexpr std::array<NamedOp, 8> fields = {{{"x", Op::x},
                                            {"y", Op::y},
                                            {"z", Op::z},
                                            {"height", Op::height},
                                            {"layer", Op::layer},
                                            {"part", Op::part},
                                            {"kind", Op::kind},
                                            {"depth", Op::depth}}};

constexpr std::array<NamedOp, 6> functions = {{{"min", Op::minimum},
                                               {"max", Op::maximum},
                                               {"abs", Op::absolute},
                                               {"sqrt", Op::square_root},
                                               {"hypot", Op::hypotenuse},
                                               {"clamp", Op::clamp}}};

constexpr std::string_view known_words =
    "Fields: x y z height layer part kind depth distance(SHAPE). Functions: min max abs sqrt hypot "
    "clamp. "
    "Also: true false and or not";

bool is_word_start(char byte) {
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || byte == '_';
}

std::uint32_t column_at(std::size_t at) {
    return static_cast<std::uint32_t>(at + 1);
}

std::string quoted(std::string_view text) {
    constexpr std::size_t shown = 40;  // bytes of a word, so that a message stays on a line or two
    return "`" + std::string(text.substr(0, shown)) + (text.size() > shown ? "..." : "") + "`";
}

/// The word, number or sign at `at`, in quotes, to say what stands there.
std::string shown_at(std::string_view text, std::size_t at) {
    const std::string_view word = word_at(text, at);
    if (!word.empty()) return quoted(word);
    std::size_t end = at;
    while (end < text.size() && (is_digit(text[end]) || text[end] == '.')) ++end;
    // A character of several bytes is shown whole.
    if (end == at)
        for (++end; end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80;)
            ++end;
    return quoted(text.substr(at, end - at));
}

bool bracket_follows(std::string_view text, std::size_t at) {
    while (at < text.size() && is_blank(text[at])) ++at;
    return at < text.size() && text[at] == '(';
}

std::string lower(std::string_view word) {
    std::string text(word);
    for (char& byte : text)
        if (byte >= 'A' && byte <= 'Z') byte = static_cast<char>(byte - 'A' + 'a');
    return text;
}

/// What `word` was meant to be, from what may stand there.
std::string_view meant(std::string_view word, bool is_call) {
    std::vector<std::string_view> known;
    if (is_call) {
        for (const NamedOp& function : functions) known.push_back(function.text);
        known.emplace_back("distance");
    } else {
        for (const NamedOp& field : fields) known.push_back(field.text);
        for (const std::string_view other : {"true", "false", "not"}) known.push_back(other);
    }
    const std::string small = lower(word);
    for (const std::string_view candidate : known)
        if (candidate == small) return candidate;
    // A single letter is one edit from every other: no guess is better than chance.
    return word.size() < 2 ? std::string_view{} : nearest(small, known);
}

ConditionError word_unknown(std::string_view text, std::size_t at) {
    const std::string_view word = word_at(text, at);
    const bool is_call = bracket_follows(text, at + word.size());
    ConditionError error{column_at(at), {}, std::string(known_words)};
    error.text = quoted(word) + (is_call ? " is no function" : " is no field");
    if (const std::string_view guess = meant(word, is_call); !guess.empty())
        error.mend = "did you mean `" + std::string(guess) + "`? " + std::string(known_words);
    return error;
}

/// What to write instead of a sign that other languages have.
std::string_view sign_mend(char sign) {
    switch (sign) {
        case '!':
            return "write `not`; for \"unequal\", `<` or `>`";
        case '&':
            return "write `and`";
        case '|':
            return "write `or`";
        case '+':
            return "leave the plus out: a number without a sign is positive";
        case '=':
            return "use `<=` and `>=`: `layer >= 3 and layer <= 3`";
        case ')':
        case ',':
            return "write an operand before it, or take it out";
        case '"':
        case '\'':
            return "names stand without quotes: `distance(tongue)`";
        default:
            return {};
    }
}

}  // namespace

std::span<const NamedOp> field_words() {
    return fields;
}
std::span<const NamedOp> function_words() {
    return functions;
}

std::string_view word_at(std::string_view text, std::size_t at) {
    if (at >= text.size() || !is_word_start(text[at])) return {};
    std::size_t end = at + 1;
    while (end < text.size() && (is_word_start(text[end]) || is_digit(text[end]))) ++end;
    return text.substr(at, end - at);
}

ConditionError operand_missing(std::string_view text, std::size_t at) {
    if (at >= text.size())
        return {column_at(at),
                text.empty() ? "the condition is empty"
                             : "the condition ends where an operand is expected",
                "write a number, a field, a function or a bracket; `true` holds everywhere"};
    const std::string_view word = word_at(text, at);
    if (word == "not")
        return {column_at(at), "`not` stands where a number is expected",
                "put it in brackets with what it denies: `(not ...)`"};
    if (word == "and" || word == "or")
        return {column_at(at), quoted(word) + " has nothing to join before it",
                "write a condition before it, or take it out"};
    if (!word.empty()) return word_unknown(text, at);
    std::string_view mend = sign_mend(text[at]);
    if (mend.empty()) mend = known_words;
    return {column_at(at), shown_at(text, at) + " stands where an operand is expected",
            std::string(mend)};
}

ConditionError shape_missing(std::string_view text, std::size_t at) {
    const std::string found = at < text.size() ? shown_at(text, at) : "the end";
    return {column_at(at), found + " stands where the name of a shape is expected",
            "write the name of one [[shape]] without quotes: `distance(tongue)`"};
}

ConditionError bracket_not_opened(std::string_view text, std::size_t at) {
    const std::string found = at < text.size() ? shown_at(text, at) : "the end";
    return {column_at(at), found + " stands where a function's `(` is expected",
            "put the operands in brackets: `abs(x)`, `distance(tongue)`"};
}

ConditionError shape_not_closed(std::string_view text, std::size_t at) {
    std::vector<std::size_t> open;
    for (std::size_t i = 0; i < at && i < text.size(); ++i) {
        if (text[i] == '(') open.push_back(i);
        if (text[i] == ')' && !open.empty()) open.pop_back();
    }
    const std::string opened =
        open.empty() ? std::string() : " for the `(` in column " + std::to_string(open.back() + 1);
    return {column_at(at), "a `)` is missing" + opened, "close the bracket"};
}

ConditionError bracket_not_closed(std::string_view text, std::size_t at) {
    const bool something_else = at < text.size() && text[at] != ',' && text[at] != ')';
    return something_else ? left_over(text, at) : shape_not_closed(text, at);
}

ConditionError number_malformed(std::size_t at) {
    return {
        column_at(at), "this is no plain number",
        "write digits with at most one point, a digit on both sides of it, and neither exponent "
        "nor unit: `0.5`"};
}

ConditionError number_too_large(std::size_t at) {
    return {column_at(at), "this number is too large", "lengths are in mm: use at most 1000000000"};
}

ConditionError left_over(std::string_view text, std::size_t at) {
    if (at >= text.size()) return {column_at(at), "the condition ends too early", "complete it"};
    const char sign = text[at];
    const std::string_view word = word_at(text, at);
    if (sign == ')')
        return {column_at(at), "this `)` closes no bracket", "take it out, or open one before"};
    if (sign == ',')
        return {column_at(at), "a comma stands outside of a function's brackets",
                "join conditions by `and` or `or`"};
    if (sign == '<' || sign == '>')
        return {column_at(at), "comparisons do not chain",
                "write them one by one: `0 < z and z < 4`"};
    if (word == "not")
        return {column_at(at), "`not` follows without `and` or `or`",
                "write `and not` or `or not`"};
    if (!word.empty()) {
        const std::string_view guess = nearest(lower(word), {"and", "or"});
        return {column_at(at), "`and`, `or` or an operator is missing before " + quoted(word),
                guess.empty() ? "join conditions by `and` or `or`"
                              : "did you mean `" + std::string(guess) + "`?"};
    }
    std::string_view mend = sign_mend(sign);
    if (sign == '(' || is_digit(sign) || sign == '.' || mend.empty())
        mend = "operators: + - * / < <= > >= and or";
    return {column_at(at), shown_at(text, at) + " stands where an operator or the end is expected",
            std::string(mend)};
}

}  // namespace durograde::grammar
