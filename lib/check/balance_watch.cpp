#include "check/balance_watch.hpp"

#include <array>
#include <cmath>
#include <cstdio>

namespace durograde::check {

double BalanceWatch::limit_mm(const Precision& precision) const noexcept {
    constexpr double deviations = 5.0;
    return deviations * std::sqrt(variance_mm2_) + precision.e_mm;
}

void BalanceWatch::finish(const Precision& precision, std::uint64_t output_line) {
    const double off = std::abs(off_mm()), limit = limit_mm(precision);
    if (off <= limit) return ledger_.note(Invariant::balanced, off, limit);
    // Where a line was found wrong, so is the sum.
    for (const Invariant found :
         {Invariant::same_beads, Invariant::right_amount, Invariant::balanced,
          Invariant::nothing_lost, Invariant::settings_kept, Invariant::right_tool}) {
        if (!ledger_.holds(found)) return;
    }
    std::array<char, 160> text{};
    std::snprintf(text.data(), text.size(),
                  "in all %.4f mm of filament are fed in place of %.4f: rounding explains %.4f mm",
                  fed_mm_, wanted_mm_, limit);
    ledger_.fail(Invariant::balanced, {off, limit}, {0, output_line}, text.data());
}

}  // namespace durograde::check
