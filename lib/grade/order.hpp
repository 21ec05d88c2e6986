#pragma once

#include <vector>

#include "grade/pieces.hpp"
#include "region/cover.hpp"

namespace durograde::grade {

/// The pieces that one station prints before another takes over, in the order of printing.
struct Visit {
    int station = 0;
    std::vector<std::uint32_t> pieces;  ///< indices into the span's pieces
};

/// Puts the pieces of a span into visits, in the `order` of their stations. Within a visit the
/// parts are toured by a short path where the plan asks for it, and the strokes of each part as
/// shorten_path() has it: some pieces may be reversed, and new ones added where loops are begun
/// elsewhere. A visit that does not begin with the station `ready` begins inside, where the plan
/// asks for that: its first part is begun with the stroke that lies farthest from open air, as
/// `cover` has it, so that what the tool brings along is hidden. A span whose height changes along
/// its strokes keeps the order of the input.
std::vector<Visit> order_pieces(const program::Span& span, std::vector<Piece>& pieces,
                                const std::vector<int>& order, int ready,
                                const program::Point& position, const region::Cover& cover,
                                const plan::Plan& plan);

}  // namespace durograde::grade
