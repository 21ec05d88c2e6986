#include "grade/barrier_cost.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::grade {
namespace {

constexpr double same_height_mm = 1e-6;

/// The first word of the line at `at`: a letter with its number, or a name.
std::string command_of(std::string_view text) {
    text.remove_prefix(std::min(text.find_first_not_of(" \t"), text.size()));
    if (text.starts_with('N') && text.size() > 1 && text[1] >= '0' && text[1] <= '9') {
        text.remove_prefix(std::min(text.find_first_of(" \t"), text.size()));
        text.remove_prefix(std::min(text.find_first_not_of(" \t"), text.size()));
    }
    constexpr std::size_t longest = 40;
    return std::string(text.substr(0, std::min(text.find_first_of(" \t\r\n;*="), longest)));
}

/// Of the first of the raw lines that nothing may be moved across; none where all only set what was
/// not set before.
std::string barrier_of(const program::Span& span) {
    std::string_view text = span.raw_text();
    for (const program::Step& step : span.raw_steps) {
        if (step.kind == program::StepKind::pin || step.primes) return command_of(text);
        text.remove_prefix(std::min(text.find('\n'), text.size() - 1) + 1);
    }
    return {};
}

}  // namespace

void BarrierCost::add(const program::Span& span, const std::vector<int>& tools) {
    parted_.add_layer(tools);
    if (span.raw_lines > 0 && waiting_.empty()) waiting_ = barrier_of(span);
    if (tools.empty()) return;
    const bool goes_on = has_layer_ && std::abs(span.z_mm - z_mm_) <= same_height_mm;
    if (!goes_on) {
        whole_.add_layer(layer_tools_);
        layer_tools_.clear();
    } else if (!waiting_.empty()) {
        ++times_[waiting_];
    }
    waiting_.clear();
    has_layer_ = true;
    z_mm_ = span.z_mm;
    layer_tools_.insert(layer_tools_.end(), tools.begin(), tools.end());
    std::sort(layer_tools_.begin(), layer_tools_.end());
    layer_tools_.erase(std::unique(layer_tools_.begin(), layer_tools_.end()), layer_tools_.end());
}

void BarrierCost::finish() {
    whole_.add_layer(layer_tools_);
    layer_tools_.clear();
}

std::vector<BarrierFigures> BarrierCost::commands() const {
    const long extra = std::max(0L, parted_.fewest() - whole_.fewest());
    long all = 0;
    for (const auto& [command, times] : times_) all += times;
    std::vector<BarrierFigures> list;
    for (const auto& [command, times] : times_) {
        list.push_back({command, times,
                        std::lround(static_cast<double>(extra) * static_cast<double>(times) /
                                    static_cast<double>(all))});
    }
    std::sort(list.begin(), list.end(),
              [](const BarrierFigures& a, const BarrierFigures& b) { return a.times > b.times; });
    return list;
}

}  // namespace durograde::grade
