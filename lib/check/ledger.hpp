#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
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

/// A deviation, in its invariant's unit, and the most that is allowed of it; none where the rule
/// knows only yes and no.
struct Measure {
    double amount = 0.0;
    std::optional<double> limit = std::nullopt;
};

/// Where the watchers write down what they see.
class Ledger {
  public:
    Ledger();

    /// `invariant` does not hold here, by `measure`.
    void fail(Invariant invariant, Measure measure, Lines lines, std::string text);

    /// A deviation that is allowed: of several the one that takes up most of its limit is kept.
    void note(Invariant invariant, double amount, double limit) noexcept {
        Finding& finding = findings_[static_cast<std::size_t>(invariant)];
        const bool is_nearer = !finding.limit || amount * *finding.limit > finding.worst * limit;
        if (!finding.held || !is_nearer) return;
        finding.worst = std::max(0.0, amount);
        finding.limit = limit;
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
