#include "check/swap_watch.hpp"

namespace durograde::check {

SwapWatch::Commands SwapWatch::commands_of(const Commands& lines) {
    Commands commands;
    for (const grammar::CommandTemplate& line : lines) {
        if (line.parts.empty() || !line.parts.front().text.starts_with(';'))
            commands.push_back(line);
    }
    return commands;
}

bool SwapWatch::is_own(std::string_view text, bool swaps, bool is_pin, const Standing& standing,
                       std::uint64_t line) {
    Said said;
    if (awaits_) {
        const bool fits = is_spelled(text, after_swap_[after_], said);
        if (!fits) note_fault(line);
        awaits_ = fits && ++after_ < after_swap_.size();
        if (fits) return true;
    }
    if (swaps) {
        ++swaps_;
        if (before_ < before_swap_.size()) note_fault(line);
        held_.clear();
        before_ = after_ = 0;
        awaits_ = !after_swap_.empty();
        return true;
    }
    for (int attempt = 0; attempt < 2; ++attempt) {
        if (before_ < before_swap_.size() && is_spelled(text, before_swap_[before_], said)) {
            ++before_;
            if (is_pin) held_.push_back({0, std::string(text), line, standing});
            return true;
        }
        if (before_ == 0) break;
        released_.insert(released_.end(), held_.begin(), held_.end());
        held_.clear();
        before_ = 0;
    }
    return false;
}

void SwapWatch::note_fault(std::uint64_t line) {
    faulty_line_ = line;
    faulty_swap_ = swaps_;
}

void SwapWatch::bead(bool graded, std::uint32_t inputs_own, Lines lines) {
    const bool is_inputs = !graded_ && faulty_swap_ <= inputs_own;
    if (graded && faulty_line_ != 0 && !is_inputs) {
        ledger_.fail(Invariant::settings_kept, {1.0}, {lines.input, faulty_line_},
                     "a swap without the lines that the plan puts around it");
    }
    graded_ = graded_ || graded;
    faulty_line_ = 0;
}

}  // namespace durograde::check
