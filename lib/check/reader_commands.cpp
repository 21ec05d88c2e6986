#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "check/reader.hpp"

namespace durograde::check {

using grammar::Value;
using grammar::Word;

int code_in_tenths(const Word& word) {
    if (word.value != Value::number || word.mantissa < 0) return -1;
    if (word.decimals == 0)
        return word.mantissa < 100'000 ? static_cast<int>(word.mantissa) * 10 : -1;
    const double tenths = word.number() * 10.0;
    const double whole = std::round(tenths);
    return std::abs(tenths - whole) < 1e-6 && whole < 1e6 ? static_cast<int>(whole) : -1;
}

// --- G words that are no moves ------------------------------------------------------------------

void Reader::other_g(int code, std::uint32_t count) {
    if (code == 920) return registers();
    if ((code == 100 || code == 110) && count == 1) return retraction(code);
    act_.kind = Kind::pin;
    if (code != 40) {
        if (extrudes_otherwise()) return;
        shift_zero(code);
        forget_axes(code);
        line_.find('T') != nullptr ? may_select() : spelled_out();
        return;
    }
    const Word* p = line_.find('P');
    const Word* s = line_.find('S');
    if (p != nullptr && !number(*p, act_.dwell_s)) return;
    act_.dwell_s *= plan_.machine.read.dwell_p_s;
    if (s != nullptr) number(*s, act_.dwell_s);
}

/// Filament along a path that is no line and no arc, a spline say: nothing could be told of it.
bool Reader::extrudes_otherwise() {
    const Word* e = line_.find('E');
    const bool moves =
        line_.find('X') != nullptr || line_.find('Y') != nullptr || line_.find('Z') != nullptr;
    if (e == nullptr || e->value != Value::number || !moves) return false;
    fault("extrudes along a path that is neither a line nor an arc", line_.words[0]);
    return true;
}

/// A command that is not understood may have moved the axes that it names; homing without axes,
/// all.
void Reader::forget_axes(int code) {
    bool named = false;
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const char letter = line_.words[i].letter;
        if (letter < 'X' || letter > 'Z') continue;
        state_.known[static_cast<std::size_t>(letter - 'X')] = false;
        named = true;
    }
    if (!named && (code == 280 || code == 300)) state_.known = {};
}

/// Coordinates count from a place that nothing in the program tells.
void Reader::cast_off() {
    state_.known = {};
    if (state_.extruded) state_.adrift = true;
}

/// Work offsets: selected (G54 to G59.3), or shifted (G52); and the offsets of G92: cleared, set
/// aside, brought back.
void Reader::shift_zero(int code) {
    switch (code) {
        case 520:
            return cast_off();
        case 921:
            state_.origin = state_.saved_origin = {};
            return;
        case 922:
            state_.origin = {};
            return;
        case 923:
            state_.origin = state_.saved_origin;
            return;
        default:
            break;
    }
    if (code < 540 || code > 593 || code == state_.work_offset) return;
    state_.work_offset = code;
    cast_off();
}

/// G92. Without words it sets everything to zero (common practice, no source). Where an axis stood
/// nobody knows, its new number is as good a place as any, until something has been printed.
void Reader::registers() {
    std::array<double, 3> at = {state_.at.x, state_.at.y, state_.at.z};
    std::array<double, 3> origin = state_.origin;
    std::array<bool, 3> stated{};
    const bool axes =
        line_.find('X') != nullptr || line_.find('Y') != nullptr || line_.find('Z') != nullptr;
    const Word* e = line_.find('E');
    const bool all = !axes && e == nullptr;
    double count = 0.0;
    if (e != nullptr && !number(*e, count)) return;
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const Word* word = line_.find(static_cast<char>('X' + axis));
        double value = 0.0;
        if (word != nullptr && !number(*word, value)) return;
        stated[axis] = word != nullptr || all;
        if (!stated[axis]) continue;
        if (!state_.known[axis]) at[axis] = value * state_.frame.unit_mm();
        origin[axis] = at[axis] - value * state_.frame.unit_mm();
    }
    for (std::size_t axis = 0; axis < 3; ++axis) {
        if (!stated[axis] || state_.known[axis]) continue;
        state_.known[axis] = true;
        if (state_.extruded) state_.adrift = true;
    }
    state_.at = {at[0], at[1], at[2]};
    state_.origin = state_.saved_origin = origin;
    if (e != nullptr || all) state_.e_count = count;
    act_.kind = axes || all ? Kind::pin : Kind::frame;
}

/// G10 and G11: retraction by the machine, or, with parameters, a tool's set-points.
void Reader::retraction(int code) {
    if (code == 110 || line_.word_count == 1) {
        act_.kind = Kind::filament;
        act_.by_machine = true;
        act_.is_arc = false;
        act_.from = act_.to = state_.at;
        act_.e_mm = code == 100 ? -1.0 : 1.0;  // the sign alone counts
        act_.length_mm = 0.0;
        act_.feed_mm_min = state_.feed_mm_min;
        return;
    }
    const bool sets_tool = plan_.machine.read.g10 == plan::RetractOrTool::tool;
    if (sets_tool && line_.find('P') != nullptr) return heat(false);
    if (line_.find('L') != nullptr) cast_off();
    act_.kind = Kind::pin;
}

// --- M words ------------------------------------------------------------------------------------

void Reader::m_word() {
    const int code = code_in_tenths(line_.words[0]);
    act_.kind = Kind::pin;
    switch (code) {
        case 60:
            if (const Word* tool = line_.find('T')) t_word(*tool);
            return;
        case 820:
        case 830:
            state_.frame.e_relative = code == 830;
            act_.kind = Kind::frame;
            return;
        case 1040:
            return heat(false);
        case 1090:
            return heat(true);
        case 1160:
            return wait_for_all();
        case 1060:
        case 1070:
            return fan(code);
        case 2000:
            return volumetric();
        case 4860:
            return label();
        case 730:
            act_.kind = Kind::progress;
            return;
        default:
            break;
    }
    constexpr std::array<int, 7> only_set = {1400, 2010, 2030, 2040, 2050, 2200, 2210};
    if (std::find(only_set.begin(), only_set.end(), code) != only_set.end()) return setting();
    line_.find('T') != nullptr ? may_select() : spelled_out();
}

void Reader::wait_for_all() {
    act_.kind = Kind::heat;
    act_.waits = act_.cools = true;
    act_.tool = -1;
    const Word* tool = line_.find('P');
    if (tool != nullptr && tool->index()) act_.tool = *tool->index();
}

void Reader::heat(bool waits) {
    constexpr double absurd_c = 500;  // no extruder is made for it: a damaged number
    act_.kind = Kind::heat;
    act_.waits = waits;
    act_.tool = state_.tool;
    const bool by_g10 = line_.words[0].letter == 'G';
    const Word* tool = line_.find(by_g10 ? 'P' : 'T');
    double value = 0.0;
    if (tool != nullptr) {
        if (!number(*tool, value)) return;
        if (!tool->index() || plan_.find_tool(*tool->index()) == nullptr) {
            act_.kind = Kind::pin;
            return;
        }
        act_.tool = *tool->index();
    }
    const Word* set = line_.find('S');
    // M109 waits while the tool cools with R alone (common practice, no source).
    act_.cools = waits && set == nullptr;
    if (set == nullptr) set = line_.find('R');
    act_.sets = set != nullptr;
    if (set == nullptr) return;
    if (!number(*set, act_.celsius)) return;
    if (act_.celsius < 0 || act_.celsius > absurd_c) {
        fault("no tool can be set to this temperature", *set);
        return;
    }
    take_set_point(act_.tool, act_.celsius);
}

void Reader::fan(int code) {
    const Word* index = line_.find('P');
    if (index != nullptr && !index->is_whole(0)) return setting();
    const Word* s = line_.find('S');
    double duty = code == 1070 ? 0.0 : 1.0;
    if (code == 1060 && s != nullptr) {
        const double full = plan_.machine.read.fan_full;
        if (!number(*s, duty)) return;
        duty /= full;
        if (duty < 0 || (duty > 1 && full <= 1)) {
            fault("this fan value is out of range", *s);
            return;
        }
    }
    act_.kind = Kind::fan;
    state_.fan_duty = std::min(duty, 1.0);
    state_.fan_named = true;
}

/// M200: from here on E counts cubic millimetres of a filament this thick, or millimetres again.
void Reader::volumetric() {
    const Word* d = line_.find('D');
    const Word* s = line_.find('S');
    double diameter = plan_.machine.filament_mm;
    if (d != nullptr && !number(*d, diameter)) return;
    const bool off = diameter == 0.0 || (s != nullptr && s->is_whole(0));
    const double before = state_.frame.e_unit_mm();
    state_.frame.area_mm2 = off ? 0.0 : std::numbers::pi / 4 * diameter * diameter;
    state_.e_count *= before / state_.frame.e_unit_mm();
    act_.kind = Kind::frame;
}

/// M486 S names the object that follows; its other forms count, name or cancel objects.
void Reader::label() {
    const Word* s = line_.find('S');
    if (line_.word_count != 2 || s == nullptr || !s->index()) return;
    act_.kind = Kind::label;
    state_.label = *s->index();
}

void Reader::setting() {
    const int code = code_in_tenths(line_.words[0]);
    if (code == 2200 && line_.words[0].letter == 'M') {
        const Word* s = line_.find('S');
        double percent = 100.0;
        if (s != nullptr && !number(*s, percent)) return;
        constexpr double least = 0.01;  // no machine goes slower; guards divisions
        if (s != nullptr) state_.speed_factor = std::max(least, percent / 100.0);
    }
    act_.kind = Kind::setting;
    state_.settings.apply(raw_.text, line_);
}

}  // namespace durograde::check
