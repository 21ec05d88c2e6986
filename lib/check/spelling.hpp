#pragma once

#include <optional>
#include <string_view>

#include "command_template.hpp"

namespace durograde::check {

/// What a line says where it is spelled as a command of the plan.
struct Said {
    std::optional<double> tool, temperature, from, to;
};

/// Whether `text` is `command` with numbers in its slots; which numbers, in `said`.
bool is_spelled(std::string_view text, const grammar::CommandTemplate& command, Said& said);

}  // namespace durograde::check
