#pragma once

#include "check/ledger.hpp"
#include "check/precision.hpp"

namespace durograde::check {

/// All filament as one sum: what the output feeds beyond what was retracted is that of the input's
/// beads by their flow, of declared primes and lines around swaps, and of what the input itself
/// feeds off its beads. Numbers that are each right within their rounding may not drift together.
class BalanceWatch {
  public:
    /// `ledger` must outlive the watch.
    explicit BalanceWatch(Ledger& ledger) : ledger_(ledger) {}

    /// A line of the output feeds `mm` beyond what was retracted.
    void feed(double mm) noexcept { fed_mm_ += mm; }
    /// The input, or the plan, wants `mm` fed.
    void want(double mm) noexcept { wanted_mm_ += mm; }
    /// Both at once, one of them rounded.
    void declare(double mm) noexcept {
        feed(mm);
        want(mm);
    }
    /// A bead of the output feeds `fed_mm` over a stretch of the input that is to have `wanted_mm`,
    /// so much a mm of its way.
    void bead(double fed_mm, double wanted_mm, double mm_a_mm,
              const Precision& precision) noexcept {
        fed_mm_ += fed_mm;
        wanted_mm_ += wanted_mm;
        // Two numbers of E are rounded, and both ends of the stretch in X and Y.
        add_rounding(2, precision.e_mm);
        add_rounding(4, precision.xy_mm * mm_a_mm);
    }
    /// So many numbers are written to a unit of so many mm of filament.
    void add_rounding(double numbers, double unit_mm) noexcept {
        constexpr double of_uniform = 1.0 / 12.0;  // variance, of a unit squared
        variance_mm2_ += numbers * unit_mm * unit_mm * of_uniform;
    }

    /// How far both sums may be apart: five standard deviations of so many roundings, each as
    /// likely up as down (one good program in two million is farther off), and a unit. Half a unit
    /// a number, the worst there could be, would let a drift by.
    [[nodiscard]] double limit_mm(const Precision& precision) const noexcept;
    [[nodiscard]] double off_mm() const noexcept { return fed_mm_ - wanted_mm_; }
    void finish(const Precision& precision, std::uint64_t output_line);

  private:
    Ledger& ledger_;
    double fed_mm_ = 0.0, wanted_mm_ = 0.0, variance_mm2_ = 0.0;
};

}  // namespace durograde::check
