#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "program/state.hpp"

namespace durograde::grade {

/// What a tour visits: it comes in at one place and leaves from another.
struct Stop {
    program::Point entry, exit;
    bool can_turn = false;  ///< it may as well be entered at its exit and left from its entry
    bool turned = false;    ///< it is: entry and exit have changed places
};

/// A short open tour from `start` over all stops, as indices in the order of visiting; stops that
/// can be turned are, where that helps. It is no longer (in mm, seen from above) than the stops in
/// the order given, nor than going to the nearest each time. From the shorter of these two it goes
/// on while moving up to three stops in a row (Or, 1976) or turning a row round (Croes, 1958; both
/// from memory)
/// shortens it, in a bounded number of rounds.
std::vector<std::uint32_t> short_tour(std::span<Stop> stops, const program::Point& start);

/// How long a way from `start` over all stops is in the order given, mm seen from above.
double tour_length_mm(std::span<const Stop> stops, const program::Point& start);

}  // namespace durograde::grade
