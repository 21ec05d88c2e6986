#include "grade/tool_words.hpp"

#include <algorithm>
#include <cctype>
#include <optional>
#include <string_view>

namespace durograde::grade {
namespace {

constexpr std::size_t most_commands = 20;  // more than anybody reads
constexpr std::string_view blanks = " \t";

bool is_alike(char a, char b) {
    return std::toupper(static_cast<unsigned char>(a)) ==
           std::toupper(static_cast<unsigned char>(b));
}

bool are_alike(std::string_view a, std::string_view b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), is_alike);
}

/// `T`, or a name that holds the word TOOL.
bool names_tool(std::string_view key) {
    if (are_alike(key, "T")) return true;
    while (!key.empty()) {
        const std::size_t end = std::min(key.find('_'), key.size());
        if (are_alike(key.substr(0, end), "TOOL")) return true;
        key.remove_prefix(std::min(end + 1, key.size()));
    }
    return false;
}

/// A stretch of a line.
struct Place {
    std::size_t begin = 0, end = 0;
};

/// Where the number of a tool stands: behind `T=`, say.
std::optional<Place> tool_of(std::string_view text) {
    for (std::size_t equals = text.find('='); equals != std::string_view::npos;
         equals = text.find('=', equals + 1)) {
        const std::string_view before = text.substr(0, equals);
        const std::string_view key = before.substr(before.find_last_of(blanks) + 1);
        const std::size_t end =
            std::min(text.find_first_not_of("0123456789", equals + 1), text.size());
        const bool is_number = end > equals + 1 && (end == text.size() || text[end] == ' ');
        if (is_number && names_tool(key)) return Place{equals + 1, end};
    }
    return std::nullopt;
}

/// Without comment, checksum and the blanks before them.
std::string_view command_of(std::string_view text) {
    text = text.substr(0, text.find_first_of(";*"));
    return text.substr(0, text.find_last_not_of(blanks) + 1);
}

}  // namespace

void ToolWords::see(const RawLine& raw, const grammar::Line& line) {
    const std::string_view text = command_of(raw.text.substr(line.words[0].letter_at));
    const std::optional<Place> tool = tool_of(text);
    if (!tool) return;
    const auto name = [](std::string_view command) {
        return command.substr(0, command.find_first_of(blanks));
    };
    const auto known = std::find_if(found_.begin(), found_.end(), [&](const ToolWord& word) {
        return are_alike(name(word.command), name(text));
    });
    if (known != found_.end()) {
        ++known->lines;
    } else if (found_.size() < most_commands) {
        std::string spelling(text);
        spelling.replace(tool->begin, tool->end - tool->begin, "{to}");
        found_.push_back({std::string(text), std::move(spelling), raw.number, 1});
    }
}

}  // namespace durograde::grade
