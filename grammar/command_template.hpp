#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace durograde::grammar {

/// What stands in braces in a controller command that the plan spells out.
enum class Slot : std::uint8_t {
    text,         ///< no slot: plain text
    tool,         ///< tool number
    temperature,  ///< °C
    from,         ///< tool number before a swap
    to,           ///< tool number after a swap
    x,
    y,
    z,        ///< mm, where the swap happens
    seconds,  ///< s, as the machine waits
    layer,    ///< from 0
};

struct TemplatePart {
    Slot slot = Slot::text;
    std::string text;  ///< of plain text
};

/// One command line with slots, such as "M104 T{tool} S{temperature}".
struct CommandTemplate {
    std::vector<TemplatePart> parts;
};

struct TemplateError {
    std::uint32_t column = 1;  ///< from 1
    std::string text;
    std::string mend;
};

inline constexpr std::size_t template_length_limit = 256;  ///< bytes

/// Parses a command template. A brace that is not closed, an unknown slot name, a line break or a
/// text longer than the limit is an error. "{{" and "}}" stand for single braces.
std::variant<CommandTemplate, TemplateError> parse_command_template(std::string_view text);

/// Values for the slots. Only what the command at hand can use is filled in by the caller.
struct SlotValues {
    int tool = 0, from = 0, to = 0;
    long layer = 0;
    double temperature_c = 0, x_mm = 0, y_mm = 0, z_mm = 0, seconds = 0;
};

/// Appends the command, without a line end. Numbers are plain decimals without trailing zeros, at
/// most 3 decimals, never with an exponent.
void expand(const CommandTemplate& command, const SlotValues& values, std::string& out);

}  // namespace durograde::grammar
