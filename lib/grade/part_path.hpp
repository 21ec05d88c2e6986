#pragma once

#include <vector>

#include "grade/pieces.hpp"
#include "region/cover.hpp"

namespace durograde::grade {

/// What may be changed on the way through one part.
struct PathRules {
    bool tour = true;      ///< open strokes that are printed alike are toured
    bool reverse = false;  ///< with `tour`: from either end, and loops begun elsewhere
    /// Where given, what begins farthest from open air by it is printed first, as it is.
    const region::Cover* inside = nullptr;
};

/// Shortens the way from `from` through pieces of one part and one station: `list` names them in
/// the order of the input. Loops, which are walls, keep their places in it. Open strokes that
/// follow each other and are printed alike, such as lines of infill, are toured by a short way;
/// pieces that join end to end stay one. Where `rules` allow it, pieces are reversed, and a loop is
/// begun at the corner nearest to where the nozzle comes from: it is then two pieces, the second a
/// new one at the end of `pieces`.
void shorten_path(const program::Span& span, std::vector<Piece>& pieces,
                  std::vector<std::uint32_t>& list, const program::Point& from,
                  const PathRules& rules);

}  // namespace durograde::grade
