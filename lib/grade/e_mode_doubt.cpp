#include "grade/e_mode_doubt.hpp"

#include <string>

namespace durograde::grade {

using program::StepKind;

void EModeDoubt::see(const program::Interpreter& interpreter, const RawLine& raw,
                     const grammar::Line& line, const program::Step& step) {
    const bool is_absolute = !interpreter.state().frame.e_relative;
    if (step.kind == StepKind::frame && line.word_count > 0 && line.words[0].letter == 'M') {
        said_increments_ = !is_absolute;
        switched_at_ = 0;
        rising_ = falling_ = 0;
    } else if (step.kind == StepKind::frame && said_increments_ && is_absolute) {
        if (switched_at_ == 0) switched_at_ = raw.number;
    }
    if (switched_at_ == 0 || !is_absolute) return;
    if (step.kind == StepKind::bead) ++rising_;
    if (step.kind == StepKind::wipe) ++falling_;
    // Absolute numbers fall along the bed while wiping alone, on a few moves in a hundred;
    // increments do on every other one.
    // Without a plan that says how this controller reads G90, nothing is claimed.
    if (!interpreter.dialect().is_said) return;
    constexpr long enough = 60;
    if (rising_ + falling_ < enough || falling_ * 4 < rising_ + falling_) return;
    throw interpreter.failure(
        raw, 1, "e-mode-in-doubt",
        "E is read in absolute numbers since the G90 of line " + std::to_string(switched_at_) +
            ", and falls on " + std::to_string(falling_) + " of " +
            std::to_string(rising_ + falling_) + " moves: these are increments, as M83 said",
        "set machine.reads.distance_mode_sets_e = false in the plan: this controller's G90 and "
        "G91 leave the E mode alone");
}

}  // namespace durograde::grade
