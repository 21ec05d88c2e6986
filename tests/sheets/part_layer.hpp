/// @file
/// One layer of one part: its walls, the walls of its cavity, and what fills it.
#pragma once

#include "pen.hpp"

namespace durograde::sheets {

/// The outline of part number `part`, in its own coordinates.
RoundedBox part_outline(const Style& style, int part);

/// Loops around a part on the bed, the outermost first.
void draw_brim(Pen& pen, const Style& style, int part, const Place& place);

/// Everything of a part in one layer; the pen is at its height already.
void draw_part_layer(Pen& pen, const Style& style, int part, const Place& place, int layer);

/// The rising wall above the first layer, from bottom to top in one stroke.
void draw_spiral(Pen& pen, const Style& style, int part, const Place& place);

}  // namespace durograde::sheets
