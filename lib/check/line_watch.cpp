#include "check/line_watch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <string>

namespace durograde::check {
namespace {

constexpr double rounding_mm = 1e-6;  // of inches and offsets in binary

double beyond(const plan::Range& range, double from, double to) {
    if (from == to) return 0.0;  // an axis that stays says nothing
    return std::max({0.0, range.low - to, to - range.high});
}

/// How far an arc goes beyond reach where it passes the outermost points of its circle.
double arc_beyond(const Act& act, const plan::Machine& machine) {
    double most = 0.0;
    for (int quarter = 0; quarter < 4; ++quarter) {
        const double direction = quarter * std::numbers::pi / 2;
        const double sense = act.arc.sweep_rad > 0 ? 1.0 : -1.0;
        constexpr double turn = 2 * std::numbers::pi;
        const double way = std::fmod(sense * (direction - act.arc.begin_rad) + 2 * turn, turn);
        if (way > std::abs(act.arc.sweep_rad)) continue;
        const double x = act.arc.center_x + act.arc.radius * std::cos(direction);
        const double y = act.arc.center_y + act.arc.radius * std::sin(direction);
        most = std::max({most, machine.reach_x.low - x, x - machine.reach_x.high,
                         machine.reach_y.low - y, y - machine.reach_y.high});
    }
    return most;
}

}  // namespace

LineWatch::LineWatch(const plan::Machine& machine, const Paces& fastest, Ledger& ledger)
    : machine_(machine),
      fastest_(fastest),
      around_swap_(Paces::around_swap(machine)),
      ledger_(ledger) {
    ledger.note(Invariant::in_reach, 0.0, rounding_mm);
}

void LineWatch::measure_reach(const Act& act, std::uint64_t line) {
    double off_mm = std::max({beyond(machine_.reach_x, act.from.x, act.to.x),
                              beyond(machine_.reach_y, act.from.y, act.to.y),
                              beyond(machine_.reach_z, act.from.z, act.to.z)});
    if (act.is_arc) off_mm = std::max(off_mm, arc_beyond(act, machine_));
    if (off_mm <= rounding_mm) return ledger_.note(Invariant::in_reach, off_mm, rounding_mm);
    ledger_.fail(Invariant::in_reach, {off_mm, rounding_mm}, {0, line},
                 "moves beyond the machine's reach");
}

/// Controllers cut a feed down to what they can do, each in its own way, or lose steps.
void LineWatch::check_pace(const Act& act, const Paces& fastest, std::uint64_t line) {
    constexpr double rounding = 1.001, step_mm_min = 1.0;
    const Paces paces = Paces::of(act);
    const auto judge = [&](double pace, double most, const char* text) {
        if (pace <= most * rounding + step_mm_min) return;
        std::array<char, 64> feeds{};
        std::snprintf(feeds.data(), feeds.size(), ": F%.0f for F%.0f at most", pace, most);
        ledger_.fail(Invariant::in_reach, {}, {0, line}, std::string(text) + feeds.data());
    };
    judge(paces.flat, fastest.flat, "travels faster than machine, tools and input do");
    judge(paces.rise, fastest.rise, "rises or sinks faster than machine and input do");
    judge(paces.filament, fastest.filament, "moves filament faster than tools and input do");
}

void LineWatch::report(const Reader& reader) {
    ledger_.fail(Invariant::in_reach, {}, {0, reader.raw().number}, reader.act().fault);
}

/// Numbers go up by one, except where M110 sets the count.
void LineWatch::check_number(const Reader& reader) {
    const grammar::Line& line = reader.line();
    const bool sets =
        line.word_count > 0 && line.words[0].letter == 'M' && line.words[0].is_whole(110);
    if (number_ && !sets && line.number != *number_ + 1) {
        ledger_.fail(Invariant::in_reach, {}, {0, reader.raw().number},
                     "line number " + std::to_string(line.number) + " in place of " +
                         std::to_string(*number_ + 1));
    }
    number_ = line.number;
    const grammar::Word* set = sets ? line.find('N') : nullptr;
    if (set != nullptr) number_ = static_cast<std::int64_t>(set->number());
}

}  // namespace durograde::check
