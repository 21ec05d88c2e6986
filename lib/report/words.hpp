#pragma once

#include <cstdint>
#include <string>
#include <string_view>

/// Numbers as reports for people show them.
namespace durograde::report {

/// "1 234 567": groups of three, so that line counts can be read.
std::string grouped(std::uint64_t number);

/// "1 part", "12 parts".
std::string counted(std::uint64_t number, std::string_view thing);

/// "2 h 05 min", "3 min 20 s", "12 s".
std::string duration(double seconds);

/// `text` as a terminal may show it: names of files, plans and zones come from outside. Control
/// characters but the line end, those beyond ASCII (U+0080 to U+009F) too, are shown as '?'.
std::string harmless(std::string text);

}  // namespace durograde::report
