#pragma once

#include <vector>

#include "grade/pieces.hpp"
#include "program/span.hpp"
#include "region/cover.hpp"

namespace durograde::grade {

/// A span on its way through the passes: what the reading thread hands to the writing one.
struct Work {
    program::Span span;
    region::Cover cover;        ///< of the span's beads
    std::vector<Piece> pieces;  ///< in the order of the input
    Stations stations;          ///< all that were met so far
    int first_station = -1;     ///< that comes first, or -1: any may
};

}  // namespace durograde::grade
