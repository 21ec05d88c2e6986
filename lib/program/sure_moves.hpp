#pragma once

#include "line.hpp"
#include "program/state.hpp"

namespace durograde::program {

/// A line that can only be a move between beads, told by its words alone: it needs no copy of the
/// state before it. `state` holds before it.
bool is_surely_a_move(const grammar::Line& line, const State& state);

}  // namespace durograde::program
