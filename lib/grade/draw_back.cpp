#include "grade/emitter.hpp"

/// How far filament is retracted before a way that is protected.
namespace durograde::grade {

using program::Span;
using program::StepKind;

namespace {

constexpr double same_mm = 1e-6;

}  // namespace

/// A tool of which the plan does not say how it retracts does as the input did last.
const plan::Retract* Emitter::retract() const {
    if (travel_->retract) return &*travel_->retract;
    return inputs_retract_ ? &*inputs_retract_ : nullptr;
}

bool Emitter::draws_by_machine() const {
    return !travel_->retract && input_draws_by_machine_;
}

void Emitter::draw_back_by_machine() {
    if (firmware_retracted_[tool_] || retracted_mm_[tool_] > 0) return;
    writer_.line("G10");
    note_filament(0.0, true);
    count(figures_.edits.inserted, Reason::protection);
}

/// How the input retracts, before strokes and between lines that stand as they are.
void Emitter::note_inputs_retraction(bool by_machine, double e_mm, double feed_mm_min) {
    if (!by_machine && e_mm >= 0) return;
    input_draws_by_machine_ = by_machine;
    inputs_retract_.reset();
    if (by_machine) return;
    inputs_retract_ = plan::Retract{};
    inputs_retract_->length_mm = -e_mm;
    const double speed_mm_s = feed_mm_min / 60;
    if (!(speed_mm_s > 0)) return;
    inputs_retract_->speed_mm_s = inputs_retract_->restart_speed_mm_s = speed_mm_s;
}

void Emitter::note_inputs_retractions(const Span& span, std::uint32_t begin, std::uint32_t end) {
    for (std::uint32_t i = begin; i < end; ++i) {
        const program::Item& item = span.items[i];
        if (item.kind != StepKind::filament) continue;
        const bool by_machine = item.e_begin == item.e_end && item.firmware_retracts;
        note_inputs_retraction(by_machine, item.e_mm, item.feed_mm_min);
    }
}

/// Filament that is still to be retracted. What the input has retracted less of is made up.
double Emitter::missing_mm() {
    if (retract() == nullptr || firmware_retracted_[tool_]) return 0.0;
    const double mm = retract()->length_mm - retracted_mm_[tool_];
    return mm < same_mm ? 0.0 : mm;
}

void Emitter::draw_back() {
    if (draws_by_machine()) return draw_back_by_machine();
    const double mm = missing_mm();
    if (!(mm > 0)) return;
    move_filament(-mm, retract()->speed_mm_s);
    count(figures_.edits.inserted, Reason::protection);
}

}  // namespace durograde::grade
