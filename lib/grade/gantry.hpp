#pragma once

#include <optional>

#include "program/interpreter.hpp"

namespace durograde::grade {

/// Whether the machine's gantry and its tools pass over what the program has printed, where it goes
/// lower again: between parts printed one after another.
class Gantry {
  public:
    /// `room_mm`: how high what is printed may stand above the nozzle's tip; none: not known.
    explicit Gantry(std::optional<double> room_mm) : room_mm_(room_mm) {}

    /// After each line. Throws Failure (Exit::bad_input) where the nozzle goes too low.
    void see(const program::Interpreter& interpreter, const RawLine& raw,
             const program::Step& step) {
        if (room_mm_ && step.moves()) move(interpreter, raw, step);
    }

  private:
    void move(const program::Interpreter& interpreter, const RawLine& raw,
              const program::Step& step);

    std::optional<double> room_mm_;
    double top_mm_ = 0.0;  ///< of what is printed; the bed at first
};

}  // namespace durograde::grade
