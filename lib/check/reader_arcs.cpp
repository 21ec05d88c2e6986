#include <algorithm>
#include <cmath>
#include <numbers>

#include "check/reader.hpp"

namespace durograde::check {

using grammar::Word;

namespace {

constexpr double nothing_mm = 1e-9;  // what binary rounding leaves of no distance at all

}  // namespace

bool Reader::read_arc(bool clockwise) {
    const double unit = state_.frame.unit_mm();
    const Word* i = line_.find('I');
    const Word* j = line_.find('J');
    const Word* r = line_.find('R');
    double along_x = 0.0, along_y = 0.0;
    if (i != nullptr && !number(*i, along_x)) return false;
    if (j != nullptr && !number(*j, along_y)) return false;
    if (i == nullptr && j == nullptr) {
        if (r == nullptr) return fault("an arc needs I and J, or R", line_.words[0]);
        if (!center_from_radius(*r, clockwise)) return false;
    } else {
        act_.arc.center_x = act_.from.x + along_x * unit;
        act_.arc.center_y = act_.from.y + along_y * unit;
    }
    act_.is_arc = true;
    return sweep(clockwise);
}

/// The centre lies on the chord's bisector: left of the chord for the shorter arc
/// counter-clockwise, and each of "clockwise" and "longer" (R below zero) changes sides.
bool Reader::center_from_radius(const Word& r, bool clockwise) {
    double radius = 0.0;
    if (!number(r, radius)) return false;
    radius *= state_.frame.unit_mm();
    const double dx = act_.to.x - act_.from.x, dy = act_.to.y - act_.from.y;
    const double chord = std::sqrt(dx * dx + dy * dy);
    constexpr double rounding_mm = 1e-4;  // of a half circle whose ends are written rounded
    if (chord < nothing_mm || chord > 2 * std::abs(radius) + rounding_mm) {
        return fault("no arc of this radius joins the ends", r);
    }
    const double away = std::sqrt(std::max(0.0, radius * radius - chord * chord / 4));
    const double left = clockwise == (radius > 0) ? -away : away;
    act_.arc.center_x = (act_.from.x + act_.to.x) / 2 - left * dy / chord;
    act_.arc.center_y = (act_.from.y + act_.to.y) / 2 + left * dx / chord;
    return true;
}

bool Reader::sweep(bool clockwise) {
    Arc& arc = act_.arc;
    const double from_x = act_.from.x - arc.center_x, from_y = act_.from.y - arc.center_y;
    const double to_x = act_.to.x - arc.center_x, to_y = act_.to.y - arc.center_y;
    arc.radius = std::sqrt(from_x * from_x + from_y * from_y);
    const double mismatch = std::abs(std::sqrt(to_x * to_x + to_y * to_y) - arc.radius);
    // NISTIR 6556, 3.5.3, refuses beyond 0.002 mm, which files of two decimals miss. Controllers in
    // use refuse beyond half a millimetre, or 5 µm and 0.1 % (documentation of an open one, seen).
    const bool is_arc = arc.radius > nothing_mm && mismatch <= 0.5 &&
                        (mismatch <= 0.005 || mismatch <= 0.001 * arc.radius);
    if (!is_arc)
        return fault("start and end lie at different distances from the centre", line_.words[0]);
    arc.begin_rad = std::atan2(from_y, from_x);
    constexpr double turn = 2 * std::numbers::pi;
    constexpr double closed_rad = 1e-9;
    double angle = std::fmod(std::atan2(to_y, to_x) - arc.begin_rad, turn);
    if (clockwise) angle = -angle;
    if (angle < closed_rad) angle += turn;
    if (angle < closed_rad) angle += turn;
    arc.sweep_rad = clockwise ? -angle : angle;
    return true;
}

}  // namespace durograde::check
