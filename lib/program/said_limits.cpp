#include "program/said_limits.hpp"

#include <string_view>

namespace durograde::program {
namespace {

constexpr double mm_per_inch = 25.4;
constexpr std::string_view axis_letters = "XYZE";

double positive(const grammar::Word& word) {
    if (word.value != grammar::Value::number) return 0.0;
    const double number = word.number();
    return number > 0 ? number : 0.0;
}

void take(const grammar::Word& word, char letter, double factor, double& value) {
    const double number = positive(word);
    if (word.letter == letter && number > 0) value = number * factor;
}

void take_axes(const grammar::Line& line, double factor, SaidPerAxis& values) {
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        for (std::size_t axis = 0; axis < values.size(); ++axis) {
            take(line.words[i], axis_letters[axis], factor, values[axis]);
        }
    }
}

/// S stands for prints and travels alike; what the line says one by one counts more.
void take_path(const grammar::Line& line, double factor, SaidLimits& limits) {
    if (const grammar::Word* all = line.find('S')) {
        take(*all, 'S', factor, limits.print_mm_s2);
        take(*all, 'S', factor, limits.travel_mm_s2);
    }
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        take(line.words[i], 'P', factor, limits.print_mm_s2);
        take(line.words[i], 'T', factor, limits.travel_mm_s2);
        take(line.words[i], 'R', factor, limits.retract_mm_s2);
    }
}

}  // namespace

void read_limits(const grammar::Line& line, const Frame& frame, double per_s, SaidLimits& limits) {
    const double unit = frame.inch ? mm_per_inch : 1.0;
    const grammar::Word& command = line.words[0];
    if (command.letter != 'M') return;
    if (command.is_whole(201)) take_axes(line, unit, limits.acceleration_mm_s2);
    if (command.is_whole(203)) take_axes(line, unit / per_s, limits.speed_mm_s);
    if (command.is_whole(204)) take_path(line, unit, limits);
    if (command.is_whole(205)) {
        take_axes(line, unit, limits.jerk_mm_s);
        if (const grammar::Word* j = line.find('J')) take(*j, 'J', unit, limits.deviation_mm);
    }
    if (command.is_whole(566)) take_axes(line, unit / 60.0, limits.jerk_mm_s);
}

}  // namespace durograde::program
