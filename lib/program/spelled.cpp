#include "program/spelled.hpp"

#include <charconv>
#include <cmath>
#include <optional>

namespace durograde::program {

using grammar::Slot;

namespace {

/// Takes a plain number from the front of `text`; "inf" and "nan" are none.
std::optional<double> take_number(std::string_view& text) {
    if (text.empty() || text.find_first_of("-.0123456789") != 0) return std::nullopt;
    double value = 0.0;
    const auto [end, error] =
        std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
    if (error != std::errc{}) return std::nullopt;
    text.remove_prefix(static_cast<std::size_t>(end - text.data()));
    return value;
}

bool take_value(Slot slot, double number, grammar::SlotValues& values) {
    if (slot == Slot::temperature) values.temperature_c = number;
    const bool is_tool = slot == Slot::tool || slot == Slot::from || slot == Slot::to;
    if (!is_tool) return true;
    constexpr double most = 1e6;
    if (number < 0 || number > most || number != std::trunc(number)) return false;
    int& place = slot == Slot::tool ? values.tool : slot == Slot::from ? values.from : values.to;
    place = static_cast<int>(number);
    return true;
}

}  // namespace

bool is_spelled(std::string_view text, const grammar::CommandTemplate& command,
                grammar::SlotValues& values) {
    if (command.parts.empty()) return false;
    values = {};
    for (const grammar::TemplatePart& part : command.parts) {
        if (part.slot == Slot::text) {
            if (!text.starts_with(part.text)) return false;
            text.remove_prefix(part.text.size());
            continue;
        }
        const std::optional<double> number = take_number(text);
        if (!number || !take_value(part.slot, *number, values)) return false;
    }
    return text.empty();
}

}  // namespace durograde::program
