#include "grade/swaps.hpp"

#include <algorithm>
#include <limits>

namespace durograde::grade {

void FewestSwaps::add_layer(const std::vector<int>& tools) {
    if (tools.empty()) return;
    std::map<int, long> next;
    const auto within = static_cast<long>(tools.size()) - 1;
    for (const int first : tools) {
        long enter = std::numeric_limits<long>::max();
        for (const auto& [ready, cost] : least_) {
            enter = std::min(enter, cost + (ready == first ? 0 : 1));
        }
        for (const int last : tools) {
            if (last == first && tools.size() > 1) continue;
            const auto [entry, is_new] = next.try_emplace(last, enter + within);
            if (!is_new) entry->second = std::min(entry->second, enter + within);
        }
    }
    least_ = std::move(next);
}

long FewestSwaps::fewest() const {
    long fewest = std::numeric_limits<long>::max();
    for (const auto& [tool, cost] : least_) fewest = std::min(fewest, cost);
    return fewest;
}

}  // namespace durograde::grade
