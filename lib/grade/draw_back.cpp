#include "grade/emitter.hpp"

/// How far filament is retracted before a way that is protected.
namespace durograde::grade {

using program::Span;
using program::StepKind;
using program::Stroke;

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

/// How the input retracts before the strokes to come.
void Emitter::note_inputs_retraction(const Span& span, const Stroke& stroke) {
    for (std::uint32_t i = stroke.first_item; i < stroke.last_item; ++i) {
        const program::Item& item = span.items[i];
        const bool by_machine = item.kind == StepKind::filament && item.e_begin == item.e_end;
        if (by_machine && item.firmware_retracts) {
            input_draws_by_machine_ = true;
            inputs_retract_.reset();
        }
        if (item.kind != StepKind::filament || item.e_mm >= 0) continue;
        input_draws_by_machine_ = false;
        const double speed_mm_s = item.feed_mm_min / 60;
        inputs_retract_ = plan::Retract{};
        inputs_retract_->length_mm = -item.e_mm;
        if (!(speed_mm_s > 0)) continue;
        inputs_retract_->speed_mm_s = inputs_retract_->restart_speed_mm_s = speed_mm_s;
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
