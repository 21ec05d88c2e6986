#include <algorithm>
#include <array>

#include "program/interpreter.hpp"
#include "program/spelled.hpp"
#include "program/words.hpp"

/// Tools, and commands that are no letters with numbers.
namespace durograde::program {

using grammar::Line;
using grammar::Value;
using grammar::Word;

namespace {

constexpr std::int64_t most_tools = 32;

/// Commands that move nothing and set nothing: they tell (a message, a tone), ask (for a position,
/// a temperature) or wait for what was commanded before (common practice, no source).
constexpr std::array<int, 15> telling = {270,  310,  1050, 1140, 1150, 1170, 1180, 1190,
                                         1550, 3000, 4000, 4080, 4090, 5030, 7090};

/// The line number, which is no word of the command, aside.
bool has_only(const Line& line, std::uint32_t letters) {
    return std::all_of(line.words.begin(), line.words.begin() + line.word_count,
                       [&](const Word& word) { return (letters & bit(word.letter)) != 0; }) &&
           (line.repeated & letters) == 0;
}

/// The first word as written, in upper case: END_JOB of "end_job LINE=3".
std::string name_of(const RawLine& raw, const Line& line) {
    std::string name;
    for (const char byte : raw.text.substr(line.words[0].letter_at)) {
        const auto letter = static_cast<char>(byte >= 'a' && byte <= 'z' ? byte & ~0x20 : byte);
        const bool belongs = (letter >= 'A' && letter <= 'Z') || letter == '_' || letter == '.' ||
                             (letter >= '0' && letter <= '9');
        if (!belongs) break;
        name += letter;
    }
    return name;
}

std::string_view trimmed_end(std::string_view text) {
    return text.substr(0, text.find_last_not_of(" \t") + 1);
}

}  // namespace

bool Interpreter::only_tells(const RawLine& raw, const Line& line) const {
    if (line.deleted) return false;
    const Word& first = line.words[0];
    const int code = first.letter == 'M' ? code_of(first) : -1;
    if (std::find(telling.begin(), telling.end(), code) != telling.end()) return true;
    if (dialect_.tells.empty()) return false;
    const std::string name = name_of(raw, line);
    return std::find(dialect_.tells.begin(), dialect_.tells.end(), name) != dialect_.tells.end();
}

/// A command of the machine's maker or owner. Nothing is known of it, unless the plan spells tools
/// or set-points so.
void Interpreter::interpret_name(const RawLine& raw, const Line& line, Step& step) {
    refuse_loop(raw, line);
    step.kind = StepKind::pin;
    step.leaves_unknown = true;
    if (!line.deleted) take_spelling(raw, line, step);
}

/// Whether the line is one of those by which the plan selects tools and sets them; then it is read.
bool Interpreter::take_spelling(const RawLine& raw, const Line& line, Step& step) {
    const std::string_view text = trimmed_end(raw.text.substr(
        line.words[0].letter_at,
        std::min<std::size_t>(raw.text.find(';'), raw.text.size()) - line.words[0].letter_at));
    grammar::SlotValues values;
    if (is_spelled(text, dialect_.write.select, values) && is_tool(values.to)) {
        step.leaves_unknown = false;
        step.kind = StepKind::tool;
        step.tool = values.to;
        state_.foreign_tool.reset();
        state_.said.tool = true;
        take_tool(step.tool);
        return true;
    }
    const bool waits = is_spelled(text, dialect_.write.wait, values);
    if (!waits && !is_spelled(text, dialect_.write.set, values)) return false;
    if (!is_tool(values.tool) || values.temperature_c < 0 ||
        values.temperature_c > dialect_.hottest_c)
        return false;
    step.leaves_unknown = false;
    step.kind = StepKind::heat;
    step.waits = waits;
    step.names_tool = true;
    step.tool = values.tool;
    step.temperature_c = values.temperature_c;
    state_.set_points_c[step.tool] = step.temperature_c;
    return true;
}

/// "T1", "T1 P0" and "T1 M6" select a tool: what the other words ask for, such as which of the
/// machine's own lines are run with it, is the machine's affair (common practice, no source).
void Interpreter::interpret_tool(const Line& line, Step& step) {
    const Word* change = line.find('M');
    const bool is_plain = has_only(line, bit('T') | bit('P') | bit('S') | bit('M')) &&
                          (change == nullptr || change->is_whole(6));
    if (is_plain) return select(line.words[0], step);
    doubt_tool(step);
}

void Interpreter::select(const Word& word, Step& step) {
    if (word.value != Value::number || word.decimals != 0) return doubt_tool(step);
    if (is_tool(word.mantissa)) {
        state_.foreign_tool.reset();
        state_.said.tool = true;
        step.kind = StepKind::tool;
        step.tool = static_cast<int>(word.mantissa);
        return take_tool(step.tool);
    }
    // A small number is some tool of the machine that the plan does not know, one below zero
    // none; larger ones are commands in disguise (common practice, no source).
    doubt_tool(step);
    if (word.mantissa >= most_tools) return;
    state_.foreign_tool = static_cast<int>(std::max<std::int64_t>(word.mantissa, -1));
    step.tool = unknown_tool;
}

/// Which tool is in use from here on is not known until one is selected again.
void Interpreter::doubt_tool(Step& step) {
    state_.foreign_tool.reset();
    step.kind = StepKind::pin;
    step.leaves_unknown = true;
    step.tool = doubtful_tool;
}

/// Each tool has its own filament: what one has retracted, another does not restart.
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

/// A block that the controller runs more than once: its beads cannot be told from its lines. M808
/// with L begins one, as do the words of RS274/NGC's successors (O100 repeat [5]) and of
/// controllers with conditions of their own (common practice, no source).
void Interpreter::refuse_loop(const RawLine& raw, const Line& line) const {
    const Word& first = line.words[0];
    const Word* rounds = line.find('L');
    const bool repeats =
        first.letter == 'M' && code_of(first) == 8080 && rounds != nullptr && !rounds->is_whole(1);
    const std::string_view text = raw.text.substr(first.letter_at);
    const bool is_labelled =
        first.letter == 'O' &&
        (text.find("repeat") != std::string_view::npos ||
         text.find("while") != std::string_view::npos || text.find("do") != std::string_view::npos);
    const bool is_named = text.starts_with("while ") || text.starts_with("repeat ");
    if (!repeats && !is_labelled && !is_named) return;
    throw failure(raw, first.letter_at + 1, "loop-by-command",
                  "the controller runs the lines from here on more than once",
                  "write the rounds out: each bead must stand in the program once");
}

/// A command that is not understood and names filament and a place, such as a spline (G5).
void Interpreter::refuse_unknown_path(const RawLine& raw, const Line& line) const {
    const bool moves = line.has('X') || line.has('Y') || line.has('Z');
    if (line.word_count == 0 || line.extended || line.words[0].letter != 'G') return;
    if (!moves || !line.has('E')) return;
    throw failure(raw, line.words[0].letter_at + 1, "unknown-path",
                  "extrudes along a path that is neither a line nor an arc",
                  "let the slicer write G1, G2 and G3 alone");
}

}  // namespace durograde::program
