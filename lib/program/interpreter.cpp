#include "program/interpreter.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

namespace durograde::program {

using grammar::Line;
using grammar::Value;
using grammar::Word;

namespace {

/// Code of a G or M word in tenths: G92.1 is 921. -1 where it is no such number.
int code_of(const Word& word) {
    if (word.value != Value::number || word.mantissa < 0) return -1;
    if (word.decimals == 0) return word.mantissa < 100'000 ? static_cast<int>(word.mantissa) * 10 : -1;
    const double tenths = word.number() * 10.0;
    const double whole = std::round(tenths);
    return std::abs(tenths - whole) < 1e-6 && whole < 1e6 ? static_cast<int>(whole) : -1;
}

constexpr std::uint32_t bit(char letter) { return 1U << (letter - 'A'); }

/// Letters that a move may have.
constexpr std::uint32_t move_letters = bit('X') | bit('Y') | bit('Z') | bit('E') | bit('F') |
                                       bit('I') | bit('J') | bit('R');

bool is_move_letter(char letter) { return (move_letters & bit(letter)) != 0; }

/// Whether a malformed line would have told the machine where to go: then it cannot be let by.
bool matters_to_motion(const Line& line) {
    if (line.word_count == 0) return false;
    const Word& first = line.words[0];
    if (first.letter != 'G') return is_move_letter(first.letter) && line.word_count > 1;
    const int code = code_of(first);
    return code < 0 || code <= 30 || code == 200 || code == 210 || code == 900 || code == 910 ||
           code == 920;
}

constexpr double same_place_mm = 1e-9;

/// Where an arc reaches farthest along an axis: at the quarters of its circle that it passes.
std::vector<Point> outermost(const Step& step) {
    std::vector<Point> points;
    const double start = std::atan2(step.from.y - step.arc.center_y, step.from.x - step.arc.center_x);
    constexpr double quarter = std::numbers::pi / 2;
    for (int i = -4; i <= 4; ++i) {
        const double fraction = (i * quarter - start) / step.arc.sweep_rad;
        const double turns = 2 * std::numbers::pi / std::abs(step.arc.sweep_rad);
        for (const double passed : {fraction, fraction + turns, fraction - turns}) {
            if (passed > 0 && passed < 1) points.push_back(along(step.arc, step.from, step.to, passed));
        }
    }
    return points;
}

constexpr std::int64_t most_tools = 32;

}  // namespace

/// The G words of one line, a member a modal group (RS274/NGC, NISTIR 6556, table 4).
struct Interpreter::Codes {
    int motion = -1;          // G0 to G3
    int distance = -1;        // 90, 91
    int units = -1;           // 20, 21
    int plane = -1;           // 17 to 19
    static constexpr int none = -2;
    int other = none;         // the last code outside these groups, in tenths; -1: no such number
    std::uint32_t count = 0;  // of G words
};

Dialect Dialect::of(const plan::Plan& plan) {
    Dialect dialect;
    dialect.reads = plan.machine.read;
    dialect.filament_area_mm2 = plan.machine.filament_area_mm2();
    for (const plan::Tool& tool : plan.tools) dialect.tools.push_back(tool.number);
    dialect.settings = plan.machine.settings;
    dialect.check_reach = true;
    dialect.reach_x = plan.machine.reach_x;
    dialect.reach_y = plan.machine.reach_y;
    dialect.reach_z = plan.machine.reach_z;
    return dialect;
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
    if (is_extra_setting(first)) return read_setting(line, step);
    switch (first.letter) {
        case 'G': return interpret_g(raw, line, step);
        case 'M': return interpret_m(raw, line, step);
        case 'T': return interpret_tool(line, step);
        default: break;
    }
    const bool modal_move = is_move_letter(first.letter) && first.value == Value::number &&
                            (state_.motion >= 0 || (first.letter == 'F' && line.word_count == 1));
    if (modal_move) return move(raw, line, std::max(state_.motion, 0), step);
    step.kind = StepKind::pin;
}

void Interpreter::check_checksum(const RawLine& raw, const Line& line) const {
    const std::size_t begin = std::min<std::size_t>(raw.text.find_first_not_of(" \t"), raw.text.size());
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
    step.tool = unknown_tool;
    if (!is_tool(word.mantissa)) {
        // A small number is some tool of the machine that the plan does not know; larger ones are
        // commands in disguise (T99, T255, T1000: common practice, no source).
        const bool is_foreign = word.mantissa >= 0 && word.mantissa < most_tools;
        state_.foreign_tool = is_foreign ? static_cast<int>(word.mantissa) : -1;
        return;
    }
    state_.foreign_tool = -1;
    step.kind = StepKind::tool;
    step.tool = static_cast<int>(word.mantissa);
    state_.tool = step.tool;
}

bool Interpreter::is_tool(std::int64_t number) const {
    if (dialect_.tools.empty()) return number >= 0 && number < most_tools;
    return std::find(dialect_.tools.begin(), dialect_.tools.end(), number) != dialect_.tools.end();
}

double Interpreter::missing_number(const RawLine& raw, const Word& word) const {
    throw failure(raw, word.letter_at + 1, "missing-number",
                  std::string("the word ") + word.letter + " has no number",
                  "give it one, or leave the word out");
}

// --- G words ------------------------------------------------------------------------------------

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
        if (codes.other == 921) state_.origin_mm = {};
        if ((codes.other == 100 || codes.other == 110) && codes.count == 1) {
            return interpret_g10(raw, line, step);
        }
        step.kind = StepKind::pin;
        if (codes.other == 40) {
            const Word* p = line.find('P');
            const Word* s = line.find('S');
            if (p != nullptr) step.dwell_s = number_of(raw, *p) * dialect_.reads.dwell_p_s;
            if (s != nullptr) step.dwell_s = number_of(raw, *s);
        } else {
            forget_axes(line);
        }
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
        state_.e_register *= before / state_.frame.e_unit_mm();
    }
    if (codes.distance >= 0) set_distance_mode(codes.distance == 91);
    if (codes.plane >= 0) state_.plane = codes.plane;
}

void Interpreter::set_distance_mode(bool relative) {
    state_.frame.relative = relative;
    if (dialect_.reads.distance_mode_sets_e) state_.frame.e_relative = relative;
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
    // G92 alone sets all registers to zero (common practice; sources.md, G92).
    const bool all = !axes && !extruder;
    std::array<double*, 3> position = {&state_.position.x, &state_.position.y, &state_.position.z};
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const Word* word = line.find(static_cast<char>('X' + axis));
        if (word == nullptr && !all) continue;
        const double value = word != nullptr ? word->number() * state_.frame.unit_mm() : 0.0;
        state_.origin_mm[axis] = *position[axis] - value;
    }
    const Word* e = line.find('E');
    if (e != nullptr || all) state_.e_register = e != nullptr ? e->number() : 0.0;
    step.kind = axes || all ? StepKind::pin : StepKind::frame;
    step.e_word = state_.e_register;
    step.sets_register = e != nullptr || all;
}

void Interpreter::interpret_g10(const RawLine& raw, const Line& line, Step& step) {
    const bool restart = code_of(line.words[0]) == 110;
    const bool parameters = line.word_count > 1;
    if (restart || !parameters) {
        // Retracted by the machine's own length: kept as a filament move of unknown size.
        state_.firmware_retracted = !restart;
        step.kind = StepKind::filament;
        step.from = step.to = state_.position;
        step.feed_mm_min = state_.feed_mm_min;
        return;
    }
    const bool sets_tool = dialect_.reads.g10 == plan::RetractOrTool::tool;
    if (sets_tool && line.find('P') != nullptr) return read_heat(raw, line, false, step);
    step.kind = StepKind::pin;
}

// --- moves --------------------------------------------------------------------------------------

void Interpreter::move(const RawLine& raw, const Line& line, int motion, Step& step) {
    const std::uint32_t twice = line.repeated & move_letters;
    if (twice != 0) {
        const auto letter = static_cast<char>('A' + std::countr_zero(twice));
        throw failure(raw, line.find(letter)->letter_at + 1, "malformed-move",
                      std::string("the letter ") + letter + " stands twice on this move",
                      "give each word once: readers differ in which one they obey");
    }
    const std::array<bool, 3> known = state_.known;
    step.from = step.to = state_.position;
    step.feed_mm_min = state_.feed_mm_min;
    step.plain = (line.letters & ~(move_letters | bit('G'))) == 0;
    read_words(raw, line, step);
    if (motion >= 2) read_arc(raw, line, motion == 2, step);
    classify_move(step);
    const bool start_known = known[0] && known[1] && known[2];
    check_move(raw, line, step, start_known);
    state_.motion = motion;
    commit_move(line, step);
}

/// Reads end point, feed and filament in one go over the words.
void Interpreter::read_words(const RawLine& raw, const Line& line, Step& step) const {
    const double unit = state_.frame.unit_mm();
    const bool relative = state_.frame.relative;
    const auto place = [&](double from, double value, std::size_t axis) {
        return relative ? from + value * unit : value * unit + state_.origin_mm[axis];
    };
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const Word& word = line.words[i];
        switch (word.letter) {
            case 'X': step.to.x = place(step.from.x, number_of(raw, word), 0); break;
            case 'Y': step.to.y = place(step.from.y, number_of(raw, word), 1); break;
            case 'Z': step.to.z = place(step.from.z, number_of(raw, word), 2); break;
            case 'F': read_feed(raw, word, step); break;
            case 'E':
                step.e_word = number_of(raw, word);
                step.e_begin = word.begin;
                step.e_end = word.end;
                break;
            default: break;
        }
    }
    if (step.e_begin == step.e_end) return;
    const double delta =
        state_.frame.e_relative ? step.e_word : step.e_word - state_.e_register;
    step.e_mm = delta * state_.frame.e_unit_mm();
    // What absolute numbers leave over from rounding in binary is no filament.
    if (std::abs(step.e_mm) < same_place_mm) step.e_mm = 0.0;
}

void Interpreter::read_feed(const RawLine& raw, const Word& word, Step& step) const {
    step.feed_mm_min = number_of(raw, word) * state_.frame.unit_mm();
    step.has_feed_word = true;
    if (step.feed_mm_min > 0) return;
    throw failure(raw, word.letter_at + 1, "impossible-feed", "a feed must be above zero",
                  "give F in units a minute, such as F1800");
}

void Interpreter::classify_move(Step& step) const {
    const bool along_xy = step.is_arc || distance_xy(step.from, step.to) > same_place_mm;
    if (step.e_mm == 0.0) {
        step.kind = StepKind::travel;
    } else if (!along_xy) {
        step.kind = StepKind::filament;
    } else {
        step.kind = step.e_mm > 0 ? StepKind::bead : StepKind::wipe;
    }
}

void Interpreter::check_move(const RawLine& raw, const Line& line, const Step& step,
                             bool start_known) const {
    if (step.kind == StepKind::bead) {
        if (!start_known) {
            throw failure(raw, 1, "unknown-position", "extrudes before the position is known",
                          "state X, Y and Z by a move before the first bead");
        }
        if (state_.foreign_tool >= 0) {
            throw failure(raw, 1, "unknown-tool",
                          "extrudes with T" + std::to_string(state_.foreign_tool) +
                              ", which is no tool of the plan",
                          "add a [[tool]] with this number to the plan");
        }
        if (!(step.feed_mm_min > 0)) {
            throw failure(raw, 1, "no-feed", "extrudes before any feed was given",
                          "give F on this move or before it");
        }
    }
    if (dialect_.check_reach) check_reach(raw, line, step);
}

void Interpreter::check_reach(const RawLine& raw, const Line& line, const Step& step) const {
    constexpr double slack_mm = 1e-6;  // rounding of inches and offsets
    const auto inside = [](const plan::Range& range, double value) {
        return value >= range.low - slack_mm && value <= range.high + slack_mm;
    };
    // An axis that the line does not name is not looked at: its place may be one that homing left.
    const auto check = [&](const Point& point) {
        const char axis = !inside(dialect_.reach_x, point.x) && (line.has('X') || step.is_arc)   ? 'X'
                          : !inside(dialect_.reach_y, point.y) && (line.has('Y') || step.is_arc) ? 'Y'
                          : !inside(dialect_.reach_z, point.z) && line.has('Z')                  ? 'Z'
                                                                                                 : '\0';
        if (axis == '\0') return;
        throw failure(raw, 1, "out-of-reach",
                      std::string("this move leaves the machine's reach in ") + axis,
                      "slice for this machine, or correct machine.reach in the plan");
    };
    check(step.to);
    if (!step.is_arc) return;
    for (const Point& point : outermost(step)) check(point);
}

void Interpreter::commit_move(const Line& line, const Step& step) {
    for (std::size_t axis = 0; axis < 3; ++axis) {
        const bool named = line.has(static_cast<char>('X' + axis));
        if (named && !state_.frame.relative) state_.known[axis] = true;
    }
    state_.position = step.to;
    state_.feed_mm_min = step.feed_mm_min;
    if (step.e_begin != step.e_end) {
        state_.e_register = state_.frame.e_relative ? state_.e_register + step.e_word : step.e_word;
    }
    if (step.kind == StepKind::bead) {
        state_.retracted_mm = 0.0;
        state_.firmware_retracted = false;
    } else {
        state_.retracted_mm = std::max(0.0, state_.retracted_mm - step.e_mm);
        if (state_.retracted_mm < 1e-6) state_.retracted_mm = 0.0;
    }
}

void Interpreter::read_arc(const RawLine& raw, const Line& line, bool clockwise, Step& step) const {
    const double unit = state_.frame.unit_mm();
    if (state_.plane != 17 || line.has('P')) {
        throw failure(raw, 1, "unknown-arc",
                      state_.plane != 17 ? "arcs can be read in the XY plane (G17) alone"
                                         : "arcs of more than one turn (P) cannot be read",
                      "let the slicer write arcs in the XY plane, of one turn at most, or none");
    }
    const Word* i = line.find('I');
    const Word* j = line.find('J');
    const Word* r = line.find('R');
    const double dx = step.to.x - step.from.x, dy = step.to.y - step.from.y;
    if (i == nullptr && j == nullptr && r == nullptr) {
        throw failure(raw, 1, "arc-without-centre", "an arc needs I and J, or R",
                      "give the centre's offset from the start as I and J");
    }
    double center_x = 0.0, center_y = 0.0;
    if (r != nullptr && i == nullptr && j == nullptr) {
        const double radius = number_of(raw, *r) * unit;
        const double chord = std::hypot(dx, dy);
        if (chord < same_place_mm || chord > 2 * std::abs(radius) * (1 + 1e-9) + 1e-4) {
            throw failure(raw, r->letter_at + 1, "impossible-arc", "no arc of this radius joins the ends",
                          "give a radius of at least half the distance, or I and J");
        }
        // The centre lies on the chord's bisector; which side follows from direction and sign of R.
        const double half = chord / 2;
        const double height = std::sqrt(std::max(0.0, radius * radius - half * half));
        const double side = (clockwise == (radius > 0)) ? 1.0 : -1.0;
        center_x = step.from.x + dx / 2 + side * height * dy / chord;
        center_y = step.from.y + dy / 2 - side * height * dx / chord;
    } else {
        center_x = step.from.x + (i != nullptr ? number_of(raw, *i) * unit : 0.0);
        center_y = step.from.y + (j != nullptr ? number_of(raw, *j) * unit : 0.0);
    }
    const double radius = std::hypot(step.from.x - center_x, step.from.y - center_y);
    const double end_radius = std::hypot(step.to.x - center_x, step.to.y - center_y);
    const double mismatch = std::abs(radius - end_radius);
    // Limits for a mismatch as in the manual of a well-known open motion controller (sources.md, 1.1).
    if (radius < same_place_mm || mismatch > 0.5 || (mismatch > 0.005 && mismatch > 0.001 * radius)) {
        throw failure(raw, 1, "impossible-arc", "start and end lie at different distances from the centre",
                      "check I and J: they are offsets from the arc's start");
    }
    const double start = std::atan2(step.from.y - center_y, step.from.x - center_x);
    const double end = std::atan2(step.to.y - center_y, step.to.x - center_x);
    constexpr double turn = 2 * std::numbers::pi;
    double sweep = end - start;
    constexpr double full_circle_slack_rad = 1e-9;
    if (clockwise) {
        while (sweep > -full_circle_slack_rad) sweep -= turn;
    } else {
        while (sweep < full_circle_slack_rad) sweep += turn;
    }
    step.is_arc = true;
    step.arc = {center_x, center_y, radius, sweep};
}

// --- M words ------------------------------------------------------------------------------------

void Interpreter::interpret_m(const RawLine& raw, const Line& line, Step& step) {
    const int code = code_of(line.words[0]);
    step.kind = StepKind::pin;
    switch (code) {
        case 820:
        case 830:
            state_.frame.e_relative = code == 830;
            step.kind = StepKind::frame;
            return;
        case 1040: return read_heat(raw, line, false, step);
        case 1090: return read_heat(raw, line, true, step);
        case 1160:
            step.kind = StepKind::heat;
            step.waits = true;
            step.tool = -1;
            return;
        case 1060:
        case 1070: return read_fan(raw, line, code, step);
        case 2000:
            read_volumetric(raw, line);
            step.kind = StepKind::frame;
            return;
        case 2200: {
            const Word* s = line.find('S');
            if (s != nullptr) state_.speed_factor = std::max(0.01, number_of(raw, *s) / 100.0);
            return read_setting(line, step);
        }
        case 1400:
        case 2010:
        case 2030:
        case 2040:
        case 2050:
        case 2210: return read_setting(line, step);
        case 4860: return read_label(line, step);
        case 730: step.kind = StepKind::progress; return;
        default: return;
    }
}

void Interpreter::read_heat(const RawLine& raw, const Line& line, bool waits, Step& step) {
    step.kind = StepKind::heat;
    step.waits = waits;
    step.tool = state_.tool;
    const Word* number = line.find(line.words[0].letter == 'G' ? 'P' : 'T');
    if (number != nullptr) step.tool = static_cast<int>(number_of(raw, *number));
    if (!is_tool(step.tool)) {
        step.kind = StepKind::pin;
        return;
    }
    const Word* set = line.find('S');
    if (set == nullptr) set = line.find('R');
    if (set == nullptr) {
        step.temperature_c = state_.set_point_c(step.tool);
        return;
    }
    step.temperature_c = number_of(raw, *set);
    if (step.temperature_c < 0 || step.temperature_c > 500) {
        throw failure(raw, set->letter_at + 1, "impossible-temperature",
                      "no tool can be set to this temperature", "give °C, 0 for off");
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
}

void Interpreter::read_volumetric(const RawLine& raw, const Line& line) {
    const Word* d = line.find('D');
    const Word* s = line.find('S');
    const double before = state_.frame.e_unit_mm();
    double diameter = d != nullptr ? number_of(raw, *d) : 0.0;
    const bool off = (s != nullptr && s->is_whole(0)) || (d != nullptr && diameter == 0.0);
    if (d == nullptr) diameter = std::sqrt(dialect_.filament_area_mm2 * 4 / std::numbers::pi);
    state_.frame.volumetric_area_mm2 = off ? 0.0 : std::numbers::pi / 4 * diameter * diameter;
    state_.e_register *= before / state_.frame.e_unit_mm();
}

void Interpreter::read_label(const Line& line, Step& step) {
    const Word* s = line.find('S');
    const bool selects = line.word_count == 2 && s != nullptr && s->value == Value::number;
    if (!selects) return;  // a pin: counts, names or cancels objects
    step.kind = StepKind::label;
    step.label = static_cast<int>(s->number());
    state_.label = step.label;
}

/// What a further command of the plan is about, where it says so by a word of its own: a drive, a tool, a
/// heater. Lines about different things do not replace each other.
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

/// One family a command, and a family a fan. A later line replaces the earlier ones of its family whose
/// parameters it gives again; "M204 S" sets what P and T set one by one (common practice).
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
        return name.size() > 1 && name[0] == word.letter && code == std::atoi(name.c_str() + 1) * 10;
    };
    return std::any_of(dialect_.settings.begin(), dialect_.settings.end(), matches);
}

}  // namespace durograde::program
