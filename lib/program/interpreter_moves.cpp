#include <bit>
#include <cmath>
#include <numbers>

#include "program/interpreter.hpp"
#include "program/words.hpp"

/// Moves: where to, how much filament, along which arc, and whether the machine can.
namespace durograde::program {

using grammar::Line;
using grammar::Word;

namespace {

/// Where an arc reaches farthest along an axis: at the quarters of its circle that it passes.
std::vector<Point> outermost(const Step& step) {
    std::vector<Point> points;
    const double start =
        std::atan2(step.from.y - step.arc.center_y, step.from.x - step.arc.center_x);
    constexpr double quarter = std::numbers::pi / 2;
    for (int i = -4; i <= 4; ++i) {
        const double fraction = (i * quarter - start) / step.arc.sweep_rad;
        const double turns = 2 * std::numbers::pi / std::abs(step.arc.sweep_rad);
        for (const double passed : {fraction, fraction + turns, fraction - turns}) {
            if (passed > 0 && passed < 1)
                points.push_back(along(step.arc, step.from, step.to, passed));
        }
    }
    return points;
}

}  // namespace

void Interpreter::move(const RawLine& raw, const Line& line, int motion, Step& step) {
    const std::uint32_t twice = line.repeated & move_letters;
    if (twice != 0) {
        const auto letter = static_cast<char>('A' + std::countr_zero(twice));
        throw failure(raw, line.find(letter)->letter_at + 1, "malformed-move",
                      std::string("the letter ") + letter + " stands twice on this move",
                      "give each word once: readers differ in which one they obey");
    }
    if (const Word* tool = line.find('T')) {
        throw failure(raw, tool->letter_at + 1, "malformed-move", "this move selects a tool",
                      "give the tool a line of its own before it");
    }
    const std::array<bool, 3> known = state_.known;
    step.from = step.to = state_.position;
    step.feed_mm_min = state_.feed_mm_min;
    step.plain = (line.letters & ~(move_letters | bit('G'))) == 0;
    step.names_place = !state_.frame.relative && line.has('X') && line.has('Y');
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
            case 'X':
                step.to.x = place(step.from.x, number_of(raw, word), 0);
                break;
            case 'Y':
                step.to.y = place(step.from.y, number_of(raw, word), 1);
                break;
            case 'Z':
                step.to.z = place(step.from.z, number_of(raw, word), 2);
                break;
            case 'F':
                read_feed(raw, word, step);
                break;
            case 'E':
                step.e_word = number_of(raw, word);
                step.e_begin = word.begin;
                step.e_end = word.end;
                break;
            default:
                break;
        }
    }
    if (step.e_begin == step.e_end) return;
    if (state_.frame.e_relative && std::abs(state_.e_register + step.e_word) > largest_number)
        impossible_number(raw, *line.find('E'));
    const double delta = state_.frame.e_relative ? step.e_word : step.e_word - state_.e_register;
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
        if (state_.displaced) {
            throw failure(raw, 1, "unknown-zero",
                          "extrudes after the program's zero went to a place that the controller "
                          "alone knows, and after other beads",
                          "keep one work offset (G54) while printing, and give G92 no axis "
                          "that homing has left unknown");
        }
        if (state_.foreign_tool == -1) {
            throw failure(raw, 1, "unknown-tool", "extrudes with no tool in use, after T-1",
                          "select one of the plan's tools before, with T");
        }
        if (state_.foreign_tool) {
            throw failure(raw, 1, "unknown-tool",
                          "extrudes with T" + std::to_string(*state_.foreign_tool) +
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
        const char axis = !inside(dialect_.reach_x, point.x) && (line.has('X') || step.is_arc) ? 'X'
                          : !inside(dialect_.reach_y, point.y) && (line.has('Y') || step.is_arc)
                              ? 'Y'
                          : !inside(dialect_.reach_z, point.z) && line.has('Z') ? 'Z'
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

void Interpreter::commit_move(const Line& line, Step& step) {
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
        step.retracted_mm = state_.retracted_mm;
        step.firmware_retracted = state_.firmware_retracted;
        state_.printed = true;
        state_.retracted_mm = 0.0;
        state_.firmware_retracted = false;
    } else {
        feed_in_place(step);
    }
}

/// What a restart adds to what was retracted is part of it; more than that, or filament fed while
/// rising, is laid where the nozzle stands and belongs there.
void Interpreter::feed_in_place(Step& step) {
    const double drawn_mm = state_.retracted_mm;
    const double left_mm = drawn_mm - step.e_mm;
    state_.retracted_mm = left_mm > no_filament_mm ? left_mm : 0.0;
    if (step.kind != StepKind::filament || left_mm > -no_filament_mm) return;
    step.surplus_mm = -left_mm;
    step.primes = step.surplus_mm > drawn_mm + no_filament_mm || step.to.z != step.from.z;
}

}  // namespace durograde::program
