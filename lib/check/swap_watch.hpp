#pragma once

#include <string_view>
#include <vector>

#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/spelling.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Knows the plan's own lines around a swap from lines of the input that nothing may move across,
/// and sees to it that every swap has them.
class SwapWatch {
  public:
    /// All arguments must outlive the watch.
    SwapWatch(const plan::Writes& writes, Ledger& ledger)
        : before_swap_(commands_of(writes.before_swap)),
          after_swap_(commands_of(writes.after_swap)),
          ledger_(ledger) {}

    /// The next line of the output that says anything. True where it may be one of the plan's
    /// lines: then it is no pin unless `released` gives it back.
    bool is_own(std::string_view text, bool swaps, bool is_pin, const Standing& standing,
                std::uint64_t line);

    /// Lines that were taken for the plan's own before a swap which did not come.
    std::vector<Pin>& released() noexcept { return released_; }

    /// A bead that is graded (or is not, and stands as the input had it) comes next. Of the swaps
    /// before it so many may be the input's own: before the first that is graded they stand.
    void bead(bool graded, std::uint32_t inputs_own, Lines lines);

  private:
    void note_fault(std::uint64_t line);

    using Commands = std::vector<grammar::CommandTemplate>;
    /// Lines that are no comments.
    static Commands commands_of(const Commands& lines);

    Commands before_swap_, after_swap_;
    Ledger& ledger_;
    std::size_t before_ = 0;  ///< lines of before_swap seen in a row
    std::size_t after_ = 0;   ///< lines of after_swap seen, where `awaits_`
    bool awaits_ = false;
    std::uint64_t faulty_line_ = 0;  ///< a swap that lacks lines, or 0
    std::uint32_t swaps_ = 0, faulty_swap_ = 0;
    bool graded_ = false;
    std::vector<Pin> held_, released_;
};

}  // namespace durograde::check
