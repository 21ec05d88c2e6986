#include <algorithm>
#include <array>
#include <cctype>

#include "check/reader.hpp"
#include "check/spelling.hpp"

/// Which tool a line selects, and lines whose first word is a name.
namespace durograde::check {

using grammar::Value;
using grammar::Word;

namespace {

bool holds(std::string_view text, std::string_view part) {
    return text.find(part) != std::string_view::npos;
}

/// The name that `text` begins with, in upper case.
std::string first_name(std::string_view text) {
    std::string name;
    for (const char byte : text) {
        const auto value = static_cast<unsigned char>(byte);
        if (std::isalnum(value) == 0 && byte != '_' && byte != '.') break;
        name += static_cast<char>(std::toupper(value));
    }
    return name;
}

}  // namespace

/// Messages, tones and questions: nothing of what is printed changes by them (common practice, no
/// source); and what else the plan says so of.
bool Reader::says_nothing() const {
    if (line_.deleted) return false;
    const Word& first = line_.words[0];
    if (first.letter == 'M') {
        switch (code_in_tenths(first)) {
            case 270:
            case 310:
            case 1050:
            case 1140:
            case 1150:
            case 1170:
            case 1180:
            case 1190:
            case 1550:
            case 3000:
            case 4000:
            case 4080:
            case 4090:
            case 5030:
            case 7090:
                return true;
            default:
                break;
        }
    }
    const auto& tells = plan_.machine.tells;
    if (tells.empty()) return false;
    return std::find(tells.begin(), tells.end(), first_name(raw_.text.substr(first.letter_at))) !=
           tells.end();
}

/// Lines that stand once and are run several times.
bool Reader::repeats_lines() const {
    const Word& first = line_.words[0];
    const std::string_view text = raw_.text.substr(first.letter_at);
    if (first.letter == 'M' && code_in_tenths(first) == 8080) {
        const Word* rounds = line_.find('L');
        return rounds != nullptr && !rounds->is_whole(1);
    }
    if (first.letter == 'O')
        return holds(text, "repeat") || holds(text, "while") || holds(text, "do");
    return text.starts_with("while ") || text.starts_with("repeat ");
}

/// What the plan spells for tools and set-points means the same in the input.
void Reader::spelled_out() {
    act_.kind = Kind::pin;
    if (line_.deleted) return;
    const plan::Writes& writes = plan_.machine.write;
    const auto is_ours = [&](std::optional<double> tool) {
        return tool && plan_.find_tool(static_cast<int>(*tool)) != nullptr;
    };
    Said said;
    if (is_spelled(command(), writes.select, said) && is_ours(said.to))
        return take_tool(static_cast<int>(*said.to));
    const bool waits = is_spelled(command(), writes.wait, said);
    if (!waits && !is_spelled(command(), writes.set, said)) return;
    if (!is_ours(said.tool) || !said.temperature) return;
    act_.kind = Kind::heat;
    act_.waits = waits;
    act_.sets = true;
    act_.tool = static_cast<int>(*said.tool);
    act_.celsius = *said.temperature;
    take_set_point(act_.tool, act_.celsius);
}

/// A line that begins with a tool: alone, with M6, or with what the machine's own lines around the
/// change go by. Any other word beside it makes it doubtful.
void Reader::first_t() {
    constexpr std::string_view beside = "TPSM";
    bool plain = line_.repeated == 0;
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        plain = plain && holds(beside, std::string_view(&word.letter, 1)) &&
                (word.letter != 'M' || word.is_whole(6));
    }
    if (plain) return t_word(line_.words[0]);
    may_select();
}

/// Below zero no tool is in use; numbers above those that tools have stand for something else
/// (common practice, no source).
void Reader::t_word(const Word& word) {
    constexpr std::int64_t most_tools = 32;
    if (word.value != Value::number || word.decimals != 0) return may_select();
    const bool is_ours =
        std::any_of(plan_.tools.begin(), plan_.tools.end(),
                    [&](const plan::Tool& tool) { return tool.number == word.mantissa; });
    if (is_ours) return take_tool(static_cast<int>(word.mantissa));
    may_select();
    state_.tool_away = word.mantissa < most_tools;
}

void Reader::may_select() {
    act_.kind = Kind::pin;
    state_.tool_away = false;
    state_.tool_unsure = true;
}

void Reader::take_tool(int tool) {
    act_.kind = Kind::tool;
    act_.tool = state_.tool = tool;
    act_.settles = state_.tool_unsure;
    state_.tool_away = state_.tool_unsure = false;
}

void Reader::forget_since(const State& state, int tool) {
    state_.fan_duty = state.fan_duty;
    state_.fan_named = state.fan_named;
    state_.label = state.label;
    state_.settings = state.settings;
    state_.speed_factor = state.speed_factor;
    state_.tool = tool;
}

void Reader::take_set_point(int tool, double celsius) {
    state_.set_points_c[tool] = celsius;
}

}  // namespace durograde::check
