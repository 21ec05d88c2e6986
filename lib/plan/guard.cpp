#include "plan/guard.hpp"

#include <algorithm>

namespace durograde::plan {
namespace {

constexpr std::size_t none = std::string_view::npos;

std::size_t run_of(std::string_view text, std::size_t at) {
    return std::min(text.find_first_not_of(text[at], at), text.size()) - at;
}

/// The end of a string on one line; a line break ends it too, which the parser will refuse.
std::size_t end_of_line_string(std::string_view text, std::size_t at) {
    const char quote = text[at];
    for (++at; at < text.size() && text[at] != quote && text[at] != '\n'; ++at)
        if (text[at] == '\\' && quote == '"') ++at;
    return std::min(at + 1, text.size());
}

/// The end of a string of several lines. TOML lets up to two quotes of its content touch the
/// closing three, so a run of three to five quotes ends it.
std::size_t end_of_lines_string(std::string_view text, std::size_t at) {
    const char quote = text[at];
    for (at += 3; at < text.size();) {
        if (text[at] == '\\' && quote == '"') {
            at += 2;
        } else if (text[at] != quote) {
            ++at;
        } else {
            const std::size_t run = run_of(text, at);
            at += std::min<std::size_t>(run, 5);
            if (run >= 3) return at;
        }
    }
    return text.size();
}

std::size_t end_of_string(std::string_view text, std::size_t at) {
    return run_of(text, at) >= 3 ? end_of_lines_string(text, at) : end_of_line_string(text, at);
}

bool ends_key(char byte) {
    return std::string_view("\n=,[]{}").find(byte) != none;
}

Guarded too_deep(std::size_t at) {
    return {at, "lists and tables are nested more than " + std::to_string(nesting_limit) + " deep",
            "a plan needs three levels at most"};
}

Guarded too_many_parts(std::size_t at) {
    return {at, "this key has more than " + std::to_string(key_parts_limit) + " parts",
            "a plan needs three parts at most, such as machine.write.set"};
}

}  // namespace

std::optional<Guarded> guard(std::string_view text) {
    std::size_t depth = 0, dots = 0;
    for (std::size_t at = 0; at < text.size();) {
        const char byte = text[at];
        if (byte == '"' || byte == '\'') {
            at = end_of_string(text, at);
            continue;
        }
        if (byte == '#') {
            at = std::min(text.find('\n', at), text.size());
            continue;
        }
        if (byte == '[' || byte == '{') ++depth;
        if ((byte == ']' || byte == '}') && depth > 0) --depth;
        if (byte == '.') ++dots;
        if (ends_key(byte)) dots = 0;
        if (depth > nesting_limit) return too_deep(at);
        if (dots >= key_parts_limit) return too_many_parts(at);
        ++at;
    }
    return std::nullopt;
}

}  // namespace durograde::plan
