#include <algorithm>
#include <cmath>

#include "program/interpreter.hpp"
#include "program/words.hpp"

/// G words: modes, and the moves' way to interpreter_moves.cpp.
namespace durograde::program {

using grammar::Line;
using grammar::Value;
using grammar::Word;

/// The G words of one line, a member a modal group (RS274/NGC, NISTIR 6556, table 4).
struct Interpreter::Codes {
    int motion = -1;    // G0 to G3
    int distance = -1;  // 90, 91
    int units = -1;     // 20, 21
    int plane = -1;     // 17 to 19
    static constexpr int none = -2;
    int other = none;         // the last code outside these groups, in tenths; -1: no such number
    std::uint32_t count = 0;  // of G words
};

void Interpreter::interpret_g(const RawLine& raw, const Line& line, Step& step) {
    // By far the most lines are one G0 to G3 with its axes.
    const Word& first = line.words[0];
    const bool single = (line.repeated & bit('G')) == 0;
    if (single && first.decimals == 0 && first.value == Value::number && first.mantissa >= 0 &&
        first.mantissa <= 3) {
        return move(raw, line, static_cast<int>(first.mantissa), step);
    }
    Codes codes;
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const Word& word = line.words[i];
        if (word.letter != 'G') continue;
        ++codes.count;
        const int code = code_of(word);
        if (code == 0 || code == 10 || code == 20 || code == 30) {
            codes.motion = code / 10;
        } else if (code == 900 || code == 910) {
            codes.distance = code / 10;
        } else if (code == 200 || code == 210) {
            codes.units = code / 10;
        } else if (code == 170 || code == 180 || code == 190) {
            codes.plane = code / 10;
        } else {
            codes.other = code;
        }
    }
    apply_modal(codes);
    if (codes.other != Codes::none) {
        if (codes.other == 920) return set_registers(raw, line, step);
        change_offset(codes.other);
        if ((codes.other == 100 || codes.other == 110) && codes.count == 1) {
            return interpret_g10(raw, line, step);
        }
        step.kind = StepKind::pin;
        if (codes.other == 40) {
            const Word* p = line.find('P');
            const Word* s = line.find('S');
            if (p != nullptr) step.dwell_s = number_of(raw, *p) * dialect_.reads.dwell_p_s;
            if (s != nullptr) step.dwell_s = number_of(raw, *s);
            return;
        }
        // Homing changes no more than where the axes stand.
        step.leaves_unknown = codes.other != 280 || line.has('E');
        forget_axes(line);
        if (line.has('T')) return doubt_tool(step);
        take_spelling(raw, line, step);
        return;
    }
    const bool has_axis = (line.letters & move_letters) != 0;
    if (codes.motion >= 0 || has_axis) {
        const int motion = codes.motion >= 0 ? codes.motion : std::max(state_.motion, 0);
        move(raw, line, motion, step);
        if (codes.count > 1) step.plain = false;
        return;
    }
    step.kind = codes.distance >= 0 || codes.units >= 0 ? StepKind::frame : StepKind::pin;
}

void Interpreter::apply_modal(const Codes& codes) {
    if (codes.units >= 0) {
        // The registers count in the program's units: they are restated in the new ones.
        const double before = state_.frame.e_unit_mm();
        state_.frame.inch = codes.units == 20;
        state_.said.units = true;
        state_.e_register *= before / state_.frame.e_unit_mm();
    }
    if (codes.distance >= 0) set_distance_mode(codes.distance == 91);
    if (codes.plane >= 0) state_.plane = codes.plane;
}

void Interpreter::set_distance_mode(bool relative) {
    state_.frame.relative = relative;
    state_.said.distance = true;
    if (!dialect_.reads.distance_mode_sets_e) return;
    state_.frame.e_relative = relative;
    state_.said.e_mode = true;
}

/// A command that is not understood may have moved the axes that it names (all, for homing without
/// any): until the program states them again, their positions are unknown.
void Interpreter::forget_axes(const Line& line) {
    bool named = false;
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const char letter = line.words[i].letter;
        if (letter < 'X' || letter > 'Z') continue;
        state_.known[static_cast<std::size_t>(letter - 'X')] = false;
        named = true;
    }
    const bool homes = code_of(line.words[0]) == 280 || code_of(line.words[0]) == 300;
    if (homes && !named) state_.known = {};
}

void Interpreter::interpret_g10(const RawLine& raw, const Line& line, Step& step) {
    const bool restart = code_of(line.words[0]) == 110;
    const bool parameters = line.word_count > 1;
    if (restart || !parameters) {
        // Retracted by the machine's own length: kept as a filament move of unknown size.
        state_.firmware_retracted = !restart;
        step.kind = StepKind::filament;
        step.firmware_retracted = !restart;
        step.from = step.to = state_.position;
        step.feed_mm_min = state_.feed_mm_min;
        return;
    }
    const bool sets_tool = dialect_.reads.g10 == plan::RetractOrTool::tool;
    if (sets_tool && line.find('P') != nullptr && !line.has('L'))
        return read_heat(raw, line, false, step);
    if (line.has('L')) lose_zero();
    step.kind = StepKind::pin;
}

}  // namespace durograde::program
