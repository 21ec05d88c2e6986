#include "check/swap_watch.hpp"

namespace durograde::check {

bool SwapWatch::is_own(std::string_view text, bool swaps, bool is_pin, const Standing& standing,
                       std::uint64_t line) {
    Said said;
    if (awaits_) {
        const bool fits = is_spelled(text, writes_.after_swap[after_], said);
        if (!fits) note_fault(line);
        awaits_ = fits && ++after_ < writes_.after_swap.size();
        if (fits) return true;
    }
    if (swaps) {
        ++swaps_;
        if (before_ < writes_.before_swap.size()) note_fault(line);
        held_.clear();
        before_ = after_ = 0;
        awaits_ = !writes_.after_swap.empty();
        return true;
    }
    for (int attempt = 0; attempt < 2; ++attempt) {
        if (before_ < writes_.before_swap.size() &&
            is_spelled(text, writes_.before_swap[before_], said)) {
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
        ledger_.fail(Invariant::settings_kept, 1.0, {lines.input, faulty_line_},
                     "a swap without the lines that the plan puts around it");
    }
    graded_ = graded_ || graded;
    faulty_line_ = 0;
}

}  // namespace durograde::check
