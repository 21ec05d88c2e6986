#pragma once

#include <cstdint>

#include "program/interpreter.hpp"

namespace durograde::grade {

/// Tells where G90 is read as switching E to absolute numbers, and those numbers are increments: a
/// program that says M83 once and then hops by G91 and G90 was made for a controller that keeps the
/// E mode.
class EModeDoubt {
  public:
    /// After each line. Throws Failure (Exit::bad_input) once the evidence is plain.
    void see(const program::Interpreter& interpreter, const RawLine& raw, const grammar::Line& line,
             const program::Step& step);

  private:
    bool said_increments_ = false;   ///< by M83, the last of M82 and M83
    std::uint64_t switched_at_ = 0;  ///< line of the G90 that switched; 0: none
    long rising_ = 0, falling_ = 0;  ///< numbers of E on moves along the bed since
};

}  // namespace durograde::grade
