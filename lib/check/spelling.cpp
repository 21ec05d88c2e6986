#include "check/spelling.hpp"

#include <charconv>
#include <cmath>
#include <limits>

namespace durograde::check {
namespace {

/// Takes a plain number from the front of `text`.
std::optional<double> take_number(std::string_view& text) {
    // from_chars would take "inf" and "nan" too.
    if (text.empty() || text.find_first_of("-.0123456789") != 0) return std::nullopt;
    double value = 0.0;
    const auto [end, error] =
        std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
    if (error != std::errc{}) return std::nullopt;
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    return value;
}

bool names_tool(grammar::Slot slot) {
    return slot == grammar::Slot::tool || slot == grammar::Slot::from || slot == grammar::Slot::to;
}

bool is_index(double number) {
    return number >= 0 && number <= std::numeric_limits<int>::max() && number == std::trunc(number);
}

}  // namespace

bool is_spelled(std::string_view text, const grammar::CommandTemplate& command, Said& said) {
    said = {};
    for (const grammar::TemplatePart& part : command.parts) {
        if (part.slot == grammar::Slot::text) {
            if (!text.starts_with(part.text)) return false;
            text.remove_prefix(part.text.size());
            continue;
        }
        const std::optional<double> number = take_number(text);
        if (!number || (names_tool(part.slot) && !is_index(*number))) return false;
        switch (part.slot) {
            case grammar::Slot::tool:
                said.tool = number;
                break;
            case grammar::Slot::temperature:
                said.temperature = number;
                break;
            case grammar::Slot::from:
                said.from = number;
                break;
            case grammar::Slot::to:
                said.to = number;
                break;
            default:
                break;
        }
    }
    return text.empty();
}

}  // namespace durograde::check
