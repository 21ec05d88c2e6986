#include "program/interpreter.hpp"

#include <algorithm>

#include "program/words.hpp"
#include "text/number.hpp"

namespace durograde::program {

using grammar::Line;
using grammar::Value;
using grammar::Word;

namespace {

/// Whether a malformed line would have told the machine where to go: then it cannot be let by.
bool matters_to_motion(const Line& line) {
    // Where a line number cannot be read, it stands before the command.
    const std::uint32_t at = line.word_count > 0 && line.words[0].letter == 'N' ? 1 : 0;
    if (line.word_count <= at) return false;
    const Word& first = line.words[at];
    if (first.letter != 'G') return is_move_letter(first.letter) && line.word_count > at + 1;
    const int code = code_of(first);
    return code < 0 || code <= 30 || code == 200 || code == 210 || code == 900 || code == 910 ||
           code == 920;
}

}  // namespace

Dialect Dialect::of(const plan::Plan& plan) {
    Dialect dialect;
    dialect.reads = plan.machine.read;
    dialect.filament_area_mm2 = plan.machine.filament_area_mm2();
    for (const plan::Tool& tool : plan.tools) dialect.tools.push_back(tool.number);
    dialect.settings = plan.machine.settings;
    dialect.tells = plan.machine.tells;
    dialect.write = plan.machine.write;
    dialect.hottest_c = plan.machine.hottest_c;
    dialect.coldest_extrusion_c = plan.machine.coldest_extrusion_c;
    dialect.speed_limit_per_s = plan.machine.read.speed_limit_per_s;
    dialect.check_reach = dialect.is_said = true;
    dialect.reach_x = plan.machine.reach_x;
    dialect.reach_y = plan.machine.reach_y;
    dialect.reach_z = plan.machine.reach_z;
    return dialect;
}

Failure too_cold(Place place, double set_point_c, double coldest_c) {
    std::string text = "this bead is extruded at ";
    append_trimmed(text, set_point_c);
    text += " °C, below machine.coldest_extrusion of ";
    append_trimmed(text, coldest_c);
    return {Exit::bad_input, Diagnostic{.code = "too-cold",
                                        .text = text + " °C",
                                        .mend = "set the tool hot before, or lower "
                                                "machine.coldest_extrusion if the filament allows",
                                        .place = std::move(place)}};
}

Interpreter::Interpreter(Dialect dialect, std::string file)
    : dialect_(std::move(dialect)), file_(std::move(file)) {}

Failure Interpreter::failure(const RawLine& raw, std::size_t column, std::string code,
                             std::string text, std::string mend) const {
    return {Exit::bad_input, Diagnostic{.code = std::move(code),
                                        .text = std::move(text),
                                        .mend = std::move(mend),
                                        .place = {file_, raw.number, column},
                                        .source_line = std::string(raw.text.substr(0, 4096))}};
}

void Interpreter::interpret(const RawLine& raw, const Line& line, Step& step) {
    step.reset();
    // Moves and modes, as nearly all lines are, tell nothing.
    const bool is_plain_g = line.word_count > 0 && line.words[0].letter == 'G' && !line.extended;
    if (!is_plain_g && line.word_count > 0 && only_tells(raw, line)) {
        step.kind = StepKind::comment;
    } else if (line.extended) {
        interpret_name(raw, line, step);
    } else {
        interpret_command(raw, line, step);
    }
    if (!step.leaves_unknown) return;
    refuse_unknown_path(raw, line);
    ++state_.barriers;
}

void Interpreter::interpret_command(const RawLine& raw, const Line& line, Step& step) {
    if (line.is_malformed() && matters_to_motion(line)) {
        throw failure(raw, line.error_at, "malformed-move", "this move cannot be read",
                      "write it as letters with plain numbers, such as G1 X10.5 Y-3 E0.12");
    }
    if (line.has_checksum) check_checksum(raw, line);
    if (line.word_count == 0) {
        const bool nothing = raw.text.find_first_not_of(" \t") == std::string_view::npos;
        step.kind = line.is_malformed() ? StepKind::pin
                    : nothing           ? StepKind::blank
                                        : StepKind::comment;
        step.leaves_unknown = line.is_malformed();
        return;
    }
    if (line.words[0].letter != 'G') refuse_loop(raw, line);
    if (line.is_malformed() || line.deleted) {
        step.kind = StepKind::pin;
        step.leaves_unknown = true;
        return;
    }
    const Word& first = line.words[0];
    if (is_extra_setting(first)) {
        read_limits(line, state_.frame, dialect_.speed_limit_per_s, state_.limits);
        return read_setting(line, step);
    }
    switch (first.letter) {
        case 'G':
            return interpret_g(raw, line, step);
        case 'M':
            return interpret_m(raw, line, step);
        case 'T':
            return interpret_tool(line, step);
        default:
            break;
    }
    const bool modal_move = is_move_letter(first.letter) && first.value == Value::number &&
                            (state_.motion >= 0 || (first.letter == 'F' && line.word_count == 1));
    if (modal_move) return move(raw, line, std::max(state_.motion, 0), step);
    step.kind = StepKind::pin;
    step.leaves_unknown = true;
}

void Interpreter::check_warm(const RawLine& raw) const {
    const auto set = state_.set_points_c.find(state_.tool);
    if (set == state_.set_points_c.end() || set->second >= dialect_.coldest_extrusion_c) return;
    throw too_cold({file_, raw.number, 1}, set->second, dialect_.coldest_extrusion_c);
}

void Interpreter::check_checksum(const RawLine& raw, const Line& line) const {
    const std::size_t begin =
        std::min<std::size_t>(raw.text.find_first_not_of(" \t"), raw.text.size());
    const auto covered = raw.text.substr(begin, line.checksum_at - begin);
    const unsigned expected = grammar::checksum_of(covered);
    if (expected == line.checksum) return;
    throw failure(raw, line.checksum_at + 1, "wrong-checksum",
                  "the checksum is " + std::to_string(line.checksum) + ", the line gives " +
                      std::to_string(expected),
                  "the file is damaged here: slice or copy it again");
}

void Interpreter::missing_number(const RawLine& raw, const Word& word) const {
    throw failure(raw, word.letter_at + 1, "missing-number",
                  std::string("the word ") + word.letter + " has no number",
                  "give it one, or leave the word out");
}

void Interpreter::impossible_number(const RawLine& raw, const Word& word) const {
    throw failure(
        raw, word.letter_at + 1, "impossible-number",
        std::string("the number of the word ") + word.letter + " is larger than any machine takes",
        "the file is damaged here, or counts E without end: slice it again");
}

}  // namespace durograde::program
