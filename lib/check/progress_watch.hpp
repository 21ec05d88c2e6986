#pragma once

#include <optional>
#include <vector>

#include "check/clock.hpp"
#include "check/ledger.hpp"
#include "line.hpp"

namespace durograde::check {

/// What the output says of its progress (M73) is true of the output: percent and minutes left lie
/// between what the quickest and the slowest machine with these limits would show there. Part of
/// "nothing lost": an input that states its progress has it stated anew.
class ProgressWatch {
  public:
    /// Both must outlive the watch.
    ProgressWatch(const Clock& clock, Ledger& ledger) : clock_(clock), ledger_(ledger) {}

    /// A line of the output that states progress.
    void see(const grammar::Line& line, std::uint64_t output_line);
    /// Nothing follows. `wanted` tells that the input states its progress.
    void finish(bool wanted, std::uint64_t output_line);

  private:
    struct Mark {
        std::optional<double> percent, minutes_left;
        double least_s = 0.0, most_s = 0.0;  ///< on the clock by then
        std::uint64_t line = 0;
    };
    void judge(const Mark& mark) const;

    const Clock& clock_;
    Ledger& ledger_;
    /// Percent and minutes change this often at most: a print of a month has 43,300.
    static constexpr std::size_t most_marks = 100'000;
    std::vector<Mark> marks_;
    bool is_full_ = false;
};

}  // namespace durograde::check
