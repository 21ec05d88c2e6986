#pragma once

#include <string_view>

/// What can hurt, wherever a report or an outcome leads to a print. Sources: NIOSH, Approaches to
/// Safe 3D Printing (2023), for fumes; isocyanates from overheated polyurethane by general text;
/// the rest is common practice, no source.
namespace durograde::report {

/// A paragraph for reports, its lines short enough for a terminal.
extern const std::string_view caution;
/// One sentence, where there is room for no more.
extern const std::string_view short_caution;
/// Before a heater is heated to be measured.
extern const std::string_view heating_caution;

}  // namespace durograde::report
