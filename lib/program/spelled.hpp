#pragma once

#include <string_view>

#include "command_template.hpp"

namespace durograde::program {

/// Whether `text` is `command` with plain numbers in its slots; then those of tools (whole, from 0
/// on) and temperatures (°C) stand in `values`.
bool is_spelled(std::string_view text, const grammar::CommandTemplate& command,
                grammar::SlotValues& values);

}  // namespace durograde::program
