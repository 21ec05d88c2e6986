#pragma once

#include <array>
#include <cstdint>
#include <string>

#include "check/check.hpp"

namespace durograde::check {

/// The invariants, in the order of the design.
enum class Invariant : std::uint8_t {
    same_beads,
    right_tool,
    right_amount,
    right_heat,
    quiet_when_idle,
    balanced,
    protected_travels,
    settings_kept,
    in_reach,
    nothing_asked,
    nothing_lost,
    nothing_hit,
};
inline constexpr std::size_t invariant_count = 12;

/// Lines that a finding points at; 0: no such line.
struct Lines {
    std::uint64_t input = 0, output = 0;
};

/// Where the watchers write down what they see.
class Ledger {
  public:
    Ledger();

    /// `invariant` does not hold here, by `amount` in its unit.
    void fail(Invariant invariant, double amount, Lines lines, std::string text);

    /// A deviation that is allowed.
    void note(Invariant invariant, double amount) noexcept {
        double& worst = findings_[static_cast<std::size_t>(invariant)].worst;
        if (amount > worst) worst = amount;
    }

    /// Whether nothing was found against it so far.
    [[nodiscard]] bool holds(Invariant invariant) const noexcept {
        return findings_[static_cast<std::size_t>(invariant)].held;
    }
    [[nodiscard]] Verdict verdict() const;

  private:
    std::array<Finding, invariant_count> findings_;
};

}  // namespace durograde::check
