#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "program/interpreter.hpp"
#include "program/words.hpp"

/// M words: heat, fans, settings, labels.
namespace durograde::program {

using grammar::Line;
using grammar::Value;
using grammar::Word;

void Interpreter::interpret_m(const RawLine& raw, const Line& line, Step& step) {
    const int code = code_of(line.words[0]);
    step.kind = StepKind::pin;
    switch (code) {
        case 60:
            if (const Word* tool = line.find('T')) return select(*tool, step);
            step.leaves_unknown = true;
            return;
        case 820:
        case 830:
            state_.frame.e_relative = code == 830;
            state_.said.e_mode = true;
            step.kind = StepKind::frame;
            return;
        case 1040:
            return read_heat(raw, line, false, step);
        case 1090:
            return read_heat(raw, line, true, step);
        case 1160:
            return read_wait(line, step);
        case 1060:
        case 1070:
            return read_fan(raw, line, code, step);
        case 2000:
            read_volumetric(raw, line);
            step.kind = StepKind::frame;
            return;
        case 2200: {
            const Word* s = line.find('S');
            if (s != nullptr) state_.speed_factor = std::max(0.01, number_of(raw, *s) / 100.0);
            return read_setting(line, step);
        }
        case 2010:
        case 2030:
        case 2040:
        case 2050:
            read_limits(line, state_.frame, dialect_.speed_limit_per_s, state_.limits);
            return read_setting(line, step);
        case 1400:
        case 2210:
            return read_setting(line, step);
        case 4860:
            return read_label(line, step);
        case 730:
            step.kind = StepKind::progress;
            return;
        default:
            step.leaves_unknown = true;
            if (line.has('T')) return doubt_tool(step);
            take_spelling(raw, line, step);
            return;
    }
}

/// M116 waits for the tool of its P, without one for all that are set (common practice, no source).
void Interpreter::read_wait(const Line& line, Step& step) const {
    step.kind = StepKind::heat;
    step.waits = true;
    step.tool = -1;
    const Word* number = line.find('P');
    const std::optional<int> tool = number != nullptr ? number->index() : std::nullopt;
    if (!tool) return;
    step.tool = *tool;
    step.names_tool = true;
    step.temperature_c = state_.set_point_c(*tool);
}

void Interpreter::read_heat(const RawLine& raw, const Line& line, bool waits, Step& step) {
    step.kind = StepKind::heat;
    step.waits = waits;
    const Word* number = line.find(line.words[0].letter == 'G' ? 'P' : 'T');
    if (number != nullptr && number->value != Value::number) missing_number(raw, *number);
    const std::optional<int> tool = number != nullptr ? number->index() : state_.tool;
    if (!tool || !is_tool(*tool)) {
        step.kind = StepKind::pin;
        return;
    }
    step.tool = *tool;
    step.names_tool = number != nullptr;
    const Word* set = line.find('S');
    if (set == nullptr) set = line.find('R');
    if (set == nullptr) {
        step.temperature_c = state_.set_point_c(step.tool);
        return;
    }
    step.temperature_c = number_of(raw, *set);
    if (step.temperature_c < 0 || step.temperature_c > dialect_.hottest_c) {
        throw failure(raw, set->letter_at + 1, "impossible-temperature",
                      "this set-point is outside 0 to " +
                          std::to_string(std::lround(dialect_.hottest_c)) + " °C",
                      "slice for this machine, or correct machine.hottest in the plan");
    }
    state_.set_points_c[step.tool] = step.temperature_c;
}

void Interpreter::read_fan(const RawLine& raw, const Line& line, int code, Step& step) {
    const Word* index = line.find('P');
    if (index != nullptr && !index->is_whole(0)) return read_setting(line, step);
    const Word* s = line.find('S');
    double duty = code == 1070 ? 0.0 : 1.0;
    if (code == 1060 && s != nullptr) {
        duty = number_of(raw, *s) / dialect_.reads.fan_full;
        if (duty < 0 || (duty > 1 && dialect_.reads.fan_full <= 1)) {
            throw failure(raw, s->letter_at + 1, "impossible-fan", "this fan value is out of range",
                          "set machine.reads.fan_full to what S means at full on your controller");
        }
        duty = std::min(duty, 1.0);
    }
    step.kind = StepKind::fan;
    step.fan_duty = duty;
    state_.fan_duty = duty;
    state_.fan_named = true;
    state_.fan_said_at = state_.barriers;
}

void Interpreter::read_volumetric(const RawLine& raw, const Line& line) {
    const Word* d = line.find('D');
    const Word* s = line.find('S');
    const double before = state_.frame.e_unit_mm();
    double diameter = d != nullptr ? number_of(raw, *d) : 0.0;
    const bool off = (s != nullptr && s->is_whole(0)) || (d != nullptr && diameter == 0.0);
    constexpr double thinnest_mm = 0.1, thickest_mm = 10.0;
    if (!off && d != nullptr && (diameter < thinnest_mm || diameter > thickest_mm)) {
        throw failure(raw, d->letter_at + 1, "impossible-number", "no filament is as thick",
                      "give its diameter in mm, such as M200 D1.75, or M200 D0");
    }
    if (d == nullptr) diameter = std::sqrt(dialect_.filament_area_mm2 * 4 / std::numbers::pi);
    state_.frame.volumetric_area_mm2 = off ? 0.0 : std::numbers::pi / 4 * diameter * diameter;
    state_.e_register *= before / state_.frame.e_unit_mm();
}

void Interpreter::read_label(const Line& line, Step& step) {
    const Word* s = line.find('S');
    const std::optional<int> index = s != nullptr ? s->index() : std::nullopt;
    if (line.word_count != 2 || !index) return;  // a pin: counts, names or cancels objects
    step.kind = StepKind::label;
    step.label = *index;
    state_.label = step.label;
}

/// What a further command of the plan is about, where it says so by a word of its own: a drive, a
/// tool, a heater. Lines about different things do not replace each other.
std::uint32_t Interpreter::address_of(const Line& line) {
    std::uint32_t address = 0;
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        const char letter = line.words[i].letter;
        if (letter != 'D' && letter != 'H' && letter != 'P' && letter != 'T') continue;
        address = address * 31 + static_cast<std::uint32_t>(letter) * 7 +
                  static_cast<std::uint32_t>(line.words[i].mantissa & 0xff);
    }
    return address & 0x1ffU;
}

/// One family a command, and a family a fan. A later line replaces the earlier ones of its family
/// whose parameters it gives again; "M204 S" sets what P and T set one by one (common practice).
void Interpreter::read_setting(const Line& line, Step& step) const {
    step.kind = StepKind::setting;
    const int code = code_of(line.words[0]);
    std::uint32_t index = 0;
    if (is_extra_setting(line.words[0])) index = address_of(line);
    if (code == 1060 || code == 1070) {
        const Word* p = line.find('P');
        index = p != nullptr ? static_cast<std::uint32_t>(p->mantissa & 0xff) + 1 : 0;
        step.setting_covers_all = true;
    }
    const auto command = static_cast<std::uint32_t>(code == 1070 ? 1060 : code);
    const std::uint32_t letter = line.words[0].letter == 'G' ? 1U << 31U : 0U;
    step.setting_key = letter | (command << 9) | index;
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        step.setting_letters |= 1U << (line.words[i].letter - 'A');
    }
    if (code == 2040 && line.find('S') != nullptr) step.setting_covers_all = true;
    if (code == 2200 || code == 2210 || code == 1400) step.setting_covers_all = true;
}

bool Interpreter::is_extra_setting(const Word& word) const {
    if (dialect_.settings.empty()) return false;
    const int code = code_of(word);
    const auto matches = [&](const std::string& name) {
        return name.size() > 1 && name[0] == word.letter &&
               code == std::atoi(name.c_str() + 1) * 10;
    };
    return std::any_of(dialect_.settings.begin(), dialect_.settings.end(), matches);
}

}  // namespace durograde::program
