#pragma once

#include <cstdint>

#include "check/reader.hpp"

namespace durograde::check {

/// Comments and commands that only tell something: a number, the sum of what stands for each of
/// them, tells which have come since the last bead. Line numbers do not count.
class NoteLog {
  public:
    /// Takes the line that `reader` stands at into account, where it is one of them and not one of
    /// the graded program's own; whether it is.
    bool see(const Reader& reader);
    /// Those since the last call.
    std::uint64_t take() {
        const std::uint64_t notes = notes_;
        notes_ = 0;
        return notes;
    }

  private:
    std::uint64_t notes_ = 0;
};

}  // namespace durograde::check
