#pragma once

#include <string_view>
#include <vector>

#include "check/layer.hpp"
#include "check/ledger.hpp"
#include "check/spelling.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// Sees to it that every swap has the plan's own lines around it, between two comments that say so,
/// and nothing else there.
class SwapWatch {
  public:
    /// All arguments must outlive the watch.
    SwapWatch(const plan::Writes& writes, Ledger& ledger);

    /// The comment that opens the lines of a swap, with the frame in force.
    void begins(const Frame& frame, std::uint64_t line);
    /// What the next line within them is.
    enum class Own { line, selection, stranger };
    /// `text` has neither line number nor checksum, and no blanks around it. With a stranger the
    /// lines are over.
    Own next(std::string_view text, bool selects, std::uint64_t line);
    /// The comment that closes them.
    void ends(std::uint64_t line);
    [[nodiscard]] bool is_open() const noexcept { return is_open_; }

    /// A tool is selected outside of such lines.
    void swap(std::uint64_t line);
    /// A bead that is graded (or is not, and stands as the input had it) comes next. Of the swaps
    /// before it so many may be the input's own: before the first that is graded they stand.
    void bead(bool graded, std::uint32_t inputs_own, Lines lines);

  private:
    void note_fault(std::uint64_t line);

    using Commands = std::vector<grammar::CommandTemplate>;
    Commands before_, after_;
    bool reads_plain_;  ///< lines before the selection say numbers
    Ledger& ledger_;
    bool is_open_ = false, is_selected_ = false;
    std::size_t seen_ = 0;           ///< lines before the selection, or behind it
    std::uint64_t faulty_line_ = 0;  ///< a swap that lacks lines, or 0
    std::uint32_t swaps_ = 0, faulty_swap_ = 0;
    bool graded_ = false;
};

}  // namespace durograde::check
