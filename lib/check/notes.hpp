#pragma once

#include <cstdint>

#include "check/reader.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Comments and commands that only tell something: a number, the sum of what stands for each of
/// them, tells which have come since the last bead. Line numbers do not count.
class NoteLog {
  public:
    /// What the plan's own lines around a swap say counts for nothing. `writes` must outlive the
    /// log.
    explicit NoteLog(const plan::Writes& writes) : writes_(writes) {}

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
    [[nodiscard]] bool is_of_swap(std::string_view text) const;

    const plan::Writes& writes_;
    std::uint64_t notes_ = 0;
};

}  // namespace durograde::check
