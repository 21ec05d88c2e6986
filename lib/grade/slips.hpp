#pragma once

#include <string>

#include "program/interpreter.hpp"

namespace durograde::grade {

/// Lines that can be read, and yet hardly mean what they say.
/// Throws Failure (Exit::bad_input) for a letter O or L amid a number, for a bead that takes more
/// than half a metre of filament, and for a move that is not understood and extrudes, such as a
/// curve of G5.
void check_slips(const program::Interpreter& interpreter, const RawLine& raw,
                 const grammar::Line& line, const program::Step& step);

/// Remembers which line left the position unknown, so that it can be named instead of the bead that
/// suffers from it.
class LostPosition {
  public:
    /// After each line.
    void see(const RawLine& raw, const program::State& state) {
        const bool known = state.position_known();
        if (known != known_) change(raw, known);
    }
    /// What to tell instead of `failure`: the same, where no line is to blame.
    [[nodiscard]] Failure blame(const Failure& failure) const;

  private:
    void change(const RawLine& raw, bool known);

    bool known_ = false;
    std::uint64_t line_ = 0;  ///< that lost it; 0: none
    std::string text_;
};

}  // namespace durograde::grade
