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

constexpr std::int64_t most_tools = 32;

}  // namespace

Dialect Dialect::of(const plan::Plan& plan) {
    Dialect dialect;
    dialect.reads = plan.machine.read;
    dialect.filament_area_mm2 = plan.machine.filament_area_mm2();
    for (const plan::Tool& tool : plan.tools) dialect.tools.push_back(tool.number);
    dialect.settings = plan.machine.settings;
    dialect.hottest_c = plan.machine.hottest_c;
    dialect.coldest_extrusion_c = plan.machine.coldest_extrusion_c;
    dialect.speed_limit_per_s = plan.machine.read.speed_limit_per_s;
    dialect.check_reach = true;
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
        return;
    }
    if (line.is_malformed() || line.deleted) {
        step.kind = StepKind::pin;
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

void Interpreter::interpret_tool(const Line& line, Step& step) {
    const Word& word = line.words[0];
    step.kind = StepKind::pin;
    if (line.word_count != 1 || word.value != Value::number || word.decimals != 0) return;
    if (!is_tool(word.mantissa)) {
        // A small number is some tool of the machine that the plan does not know, one below zero
        // none; larger ones are commands in disguise (common practice, no source).
        state_.foreign_tool.reset();
        if (word.mantissa < most_tools)
            state_.foreign_tool = static_cast<int>(std::max<std::int64_t>(word.mantissa, -1));
        step.tool = state_.foreign_tool ? unknown_tool : doubtful_tool;
        return;
    }
    state_.foreign_tool.reset();
    step.kind = StepKind::tool;
    step.tool = static_cast<int>(word.mantissa);
    take_tool(step.tool);
}

/// Each tool has its own filament: what one has drawn back, another does not restart.
void Interpreter::take_tool(int number) {
    state_.put_away[state_.tool] = {state_.retracted_mm, state_.firmware_retracted};
    state_.tool = number;
    const Retraction& own = state_.put_away[number];
    state_.retracted_mm = own.mm;
    state_.firmware_retracted = own.by_firmware;
}

bool Interpreter::is_tool(std::int64_t number) const {
    if (dialect_.tools.empty()) return number >= 0 && number < most_tools;
    return std::find(dialect_.tools.begin(), dialect_.tools.end(), number) != dialect_.tools.end();
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
