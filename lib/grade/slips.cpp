#include "grade/slips.hpp"

#include "program/words.hpp"
#include "text/number.hpp"

namespace durograde::grade {

using grammar::Line;
using grammar::Value;
using grammar::Word;
using program::StepKind;

namespace {

/// The word of this letter that stands right behind a number, as in X1O0; null where none does.
const Word* amid_number(const Line& line, char letter) {
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        const Word& before = line.words[i - 1];
        const Word& word = line.words[i];
        if (word.letter == letter && before.value == Value::number && before.end == word.letter_at)
            return &word;
    }
    return nullptr;
}

/// A point that was left out, or a count of E that was not set anew.
void check_amount(const program::Interpreter& interpreter, const RawLine& raw, const Line& line,
                  const program::Step& step) {
    constexpr double most_mm = 500;  // thick purge lines take a tenth (common practice, no source)
    if (step.kind != StepKind::bead || step.e_mm <= most_mm) return;
    const Word* e = line.find('E');
    std::string text = "one bead takes ";
    append_trimmed(text, step.e_mm);
    throw interpreter.failure(raw, e != nullptr ? e->letter_at + 1 : 1, "impossible-amount",
                              text + " mm of filament",
                              "check E: its point, and whether the count was set anew (G92 E0)");
}

}  // namespace

void check_slips(const program::Interpreter& interpreter, const RawLine& raw, const Line& line,
                 const program::Step& step) {
    if (line.word_count < 2) return;
    check_amount(interpreter, raw, line, step);
    // Messages and what is not understood may hold any letter.
    if (step.kind == StepKind::pin || step.kind == StepKind::comment) return;
    const Word* slip = line.has('O') ? amid_number(line, 'O') : nullptr;
    if (slip == nullptr && step.moves() && line.has('L')) slip = amid_number(line, 'L');
    if (slip == nullptr) return;
    const bool is_o = slip->letter == 'O';
    throw interpreter.failure(raw, slip->letter_at + 1, "malformed-move",
                              std::string("a letter ") + slip->letter + " stands amid a number",
                              std::string("write the digit ") + (is_o ? '0' : '1'));
}

void LostPosition::change(const RawLine& raw, bool known) {
    known_ = known;
    line_ = known ? 0 : raw.number;
    text_ = known ? std::string_view{} : raw.text.substr(0, 200);
}

Failure LostPosition::blame(const Failure& failure) const {
    Diagnostic told = failure.diagnostics().front();
    if (told.code != "unknown-position" || line_ == 0) return failure;
    told.text = "after this line the position is unknown, and line " +
                std::to_string(told.place.line) + " extrudes before it is stated";
    told.mend = "state X, Y and Z by a move after it, or take it out of the print";
    told.place.line = line_;
    told.place.column = 1;
    told.source_line = text_;
    return {failure.exit(), std::move(told)};
}

}  // namespace durograde::grade
