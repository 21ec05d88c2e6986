#include <cmath>

#include "program/interpreter.hpp"
#include "program/words.hpp"

/// Where the program counts from: G92 and its kin, and work offsets.
///
/// Some zeros only the controller knows: those of G54 to G59.3, G52 and G10 L, and what G92 states
/// of an axis whose place homing has left unknown. Until the first bead any of them is as good as
/// another, and the program's own numbers are taken for the bed's. After it nothing tells how the
/// beads to come lie beside those before.
namespace durograde::program {

using grammar::Line;
using grammar::Word;

void Interpreter::lose_zero() {
    state_.known = {};
    state_.displaced = state_.displaced || state_.printed;
}

/// G92: the axis stands at `value_mm` from here on.
void Interpreter::state_axis(std::size_t axis, double value_mm) {
    const std::array<double*, 3> position = {&state_.position.x, &state_.position.y,
                                             &state_.position.z};
    if (!state_.known[axis]) {
        *position[axis] = value_mm;
        state_.known[axis] = true;
        state_.displaced = state_.displaced || state_.printed;
    }
    state_.origin_mm[axis] = *position[axis] - value_mm;
}

void Interpreter::set_registers(const RawLine& raw, const Line& line, Step& step) {
    bool axes = false, extruder = false;
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const char letter = line.words[i].letter;
        if (letter >= 'X' && letter <= 'Z') {
            axes = std::isfinite(number_of(raw, line.words[i]));
        }
        if (letter == 'E') {
            extruder = std::isfinite(number_of(raw, line.words[i]));
        }
    }
    // G92 alone sets all registers to zero (common practice, no source).
    const bool all = !axes && !extruder;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const Word* word = line.find(static_cast<char>('X' + axis));
        if (word == nullptr && !all) continue;
        state_axis(axis, word != nullptr ? word->number() * state_.frame.unit_mm() : 0.0);
    }
    state_.kept_origin_mm = state_.origin_mm;
    const Word* e = line.find('E');
    if (e != nullptr || all) state_.e_register = e != nullptr ? e->number() : 0.0;
    step.kind = axes || all ? StepKind::pin : StepKind::frame;
    step.e_word = state_.e_register;
    step.sets_register = e != nullptr || all;
}

/// G92.1 clears the offsets of G92, G92.2 sets them aside, G92.3 brings them back (NISTIR 6556,
/// 3.5.18). G54 to G59.3 select a work offset (3.5.13), G52 shifts it (common practice, no source).
void Interpreter::change_offset(int code) {
    if (code == 921) state_.kept_origin_mm = {};
    if (code == 921 || code == 922) state_.origin_mm = {};
    if (code == 923) state_.origin_mm = state_.kept_origin_mm;
    if (code == 520) lose_zero();
    const bool selects = code >= 540 && code <= 593 && code != state_.work_offset;
    if (!selects) return;
    state_.work_offset = code;
    lose_zero();
}

}  // namespace durograde::program
