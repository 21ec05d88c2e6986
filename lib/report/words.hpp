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

}  // namespace durograde::report
