#include "check/ledger.hpp"

#include <algorithm>
#include <utility>

namespace durograde::check {
namespace {

constexpr std::size_t spots_kept = 5;  // enough to see a pattern, few enough to read

constexpr std::array<std::pair<const char*, const char*>, invariant_count> names_and_units = {{
    {"same beads", "mm"},
    {"right tool", "mm"},
    {"right amount", "mm"},
    {"right heat", "K"},
    {"quiet when idle", "s"},
    {"balanced", "mm"},
    {"protected", "mm"},
    {"settings kept", "lines"},
    {"in reach", "mm"},
    {"nothing asked, nothing done", "bytes"},
    {"nothing lost", "mm"},
    {"nothing hit", "mm"},
}};

}  // namespace

Ledger::Ledger() {
    for (std::size_t i = 0; i < invariant_count; ++i) {
        findings_[i].name = names_and_units[i].first;
        findings_[i].unit = names_and_units[i].second;
    }
}

/// Of failures the one that goes farthest beyond its limit is kept.
void Ledger::fail(Invariant invariant, Measure measure, Lines lines, std::string text) {
    Finding& finding = findings_[static_cast<std::size_t>(invariant)];
    const double beyond = measure.amount - measure.limit.value_or(0.0);
    if (finding.held || beyond > finding.worst - finding.limit.value_or(0.0)) {
        finding.worst = measure.amount;
        finding.limit = measure.limit;
    }
    finding.held = false;
    ++finding.failures;
    if (finding.first.size() < spots_kept) {
        finding.first.push_back({lines.input, lines.output, std::move(text)});
    }
}

Verdict Ledger::verdict() const {
    return {{findings_.begin(), findings_.end()}};
}

bool Verdict::held() const {
    return std::all_of(findings.begin(), findings.end(),
                       [](const Finding& finding) { return finding.held; });
}

}  // namespace durograde::check
