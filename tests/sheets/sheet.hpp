/// @file
/// Whole sheets, written to a sink, a file or a string.
#pragma once

#include <cstdio>
#include <string>

#include "line_writer.hpp"
#include "style.hpp"

namespace durograde::sheets {

/// Writes the sheet in chunks of about 256 kB; memory use does not grow with its size. The style
/// goes through `sane()` first.
void write_sheet(const Style& style, const Sink& sink);

/// Writes the sheet to an open file. False if a write failed.
bool write_sheet(const Style& style, std::FILE* file);

/// The sheet as one string.
std::string make_sheet(const Style& style);

}  // namespace durograde::sheets
