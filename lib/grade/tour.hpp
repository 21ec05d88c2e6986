#pragma once

#include <cstdint>
#include <vector>

#include "program/state.hpp"

namespace durograde::grade {

/// What a tour visits: it comes in at one place and leaves from another, never the other way round.
struct Stop {
    program::Point entry, exit;
};

/// A short open tour from `start` over all stops, as indices in the order of visiting. It is no
/// longer (in mm, seen from above) than the stops in the order given, nor than going to the nearest
/// each time. From the shorter of these two it goes on while moving up to three stops in a row (Or,
/// 1976) or turning the order of a row round (Croes, 1958) shortens it, in a bounded number of
/// rounds.
std::vector<std::uint32_t> short_tour(const std::vector<Stop>& stops, const program::Point& start);

}  // namespace durograde::grade
