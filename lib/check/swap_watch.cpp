#include "check/swap_watch.hpp"

namespace durograde::check {

SwapWatch::SwapWatch(const plan::Writes& writes, Ledger& ledger)
    : reads_plain_(writes.before_says_numbers), ledger_(ledger) {
    for (const plan::SwapLine& line : writes.before_swap) before_.push_back(line.command);
    if (writes.after_says_numbers) {
        // Selecting a tool may have changed how numbers are read.
        for (const char* mode : {"G90", "M83"}) after_.push_back({{{grammar::Slot::text, mode}}});
    }
    for (const plan::SwapLine& line : writes.after_swap) after_.push_back(line.command);
}

void SwapWatch::begins(const Frame& frame, std::uint64_t line) {
    const Frame plain{false, false, true, 0.0};
    if (is_open_ || (reads_plain_ && !(frame == plain))) note_fault(line);
    is_open_ = true;
    is_selected_ = false;
    seen_ = 0;
}

SwapWatch::Own SwapWatch::next(std::string_view text, bool selects, std::uint64_t line) {
    const Commands& commands = is_selected_ ? after_ : before_;
    Said said;
    if (seen_ < commands.size() && is_spelled(text, commands[seen_], said)) {
        ++seen_;
        return Own::line;
    }
    if (selects && !is_selected_ && seen_ == before_.size()) {
        ++swaps_;
        is_selected_ = true;
        seen_ = 0;
        return Own::selection;
    }
    note_fault(line);
    is_open_ = false;
    return Own::stranger;
}

void SwapWatch::ends(std::uint64_t line) {
    if (!is_open_ || !is_selected_ || seen_ < after_.size()) note_fault(line);
    is_open_ = false;
}

void SwapWatch::swap(std::uint64_t line) {
    ++swaps_;
    if (!before_.empty() || !after_.empty()) note_fault(line);
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
