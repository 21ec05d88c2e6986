#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "program/interpreter.hpp"
#include "program/words.hpp"

namespace durograde::program {

using grammar::Line;
using grammar::Word;

namespace {

constexpr double even_mm = 0.005;         // up to which both distances from the centre are one
constexpr double farthest_off_mm = 0.25;  // that the centre of a shallow arc is moved by

/// From angle to angle; a whole turn where they are one.
double swept(double start_rad, double end_rad, bool clockwise) {
    constexpr double turn = 2 * std::numbers::pi;
    constexpr double full_circle_slack_rad = 1e-9;
    double sweep = end_rad - start_rad;
    if (clockwise) {
        while (sweep > -full_circle_slack_rad) sweep -= turn;
    } else {
        while (sweep < full_circle_slack_rad) sweep += turn;
    }
    return sweep;
}

}  // namespace

/// What the decimals that the program writes arcs with may make the distances of start and end
/// from the centre differ by: start and centre are rounded, and start, centre and end again, each
/// by half a unit of the last decimal along both axes.
double Interpreter::arc_rounding_mm(const Line& line) {
    for (const char letter : {'X', 'Y', 'I', 'J', 'R'}) {
        const Word* word = line.find(letter);
        if (word != nullptr) arc_decimals_ = std::max(arc_decimals_, int{word->decimals});
    }
    const double unit_mm = std::pow(10.0, -arc_decimals_) * state_.frame.unit_mm();
    return 2 * std::numbers::sqrt2 * unit_mm;
}

void Interpreter::read_arc(const RawLine& raw, const Line& line, bool clockwise, Step& step) {
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
    const double rounding_mm = arc_rounding_mm(line);
    double center_x = 0.0, center_y = 0.0;
    if (r != nullptr && i == nullptr && j == nullptr) {
        const double radius = number_of(raw, *r) * unit;
        const double chord = std::hypot(dx, dy);
        if (chord < same_place_mm ||
            chord > 2 * std::abs(radius) * (1 + 1e-9) + std::max(1e-4, rounding_mm)) {
            throw failure(raw, r->letter_at + 1, "impossible-arc",
                          "no arc of this radius joins the ends",
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
    double radius = std::hypot(step.from.x - center_x, step.from.y - center_y);
    const double end_radius = std::hypot(step.to.x - center_x, step.to.y - center_y);
    const double mismatch = std::abs(radius - end_radius);
    // Beyond this controllers refuse an arc: half a millimetre, or 5 µm and 0.1 % (common practice,
    // no source; RS274/NGC, section 3.5.3.2, allows 2 µm, from memory), unless its decimals allow
    // no better.
    if (radius < same_place_mm || mismatch > 0.5 ||
        (mismatch > std::max(even_mm, rounding_mm) && mismatch > 0.001 * radius)) {
        throw failure(raw, 1, "impossible-arc",
                      "start and end lie at different distances from the centre",
                      "check I and J: they are offsets from the arc's start");
    }
    const auto sweep_about = [&](double x, double y) {
        return swept(std::atan2(step.from.y - y, step.from.x - x),
                     std::atan2(step.to.y - y, step.to.x - x), clockwise);
    };
    if (mismatch > even_mm) {
        // The centre is taken to lie as far from both ends: cut or printed backwards, it is the
        // same path then.
        const double chord = std::hypot(dx, dy);
        const double off =
            ((center_x - step.from.x - dx / 2) * dx + (center_y - step.from.y - dy / 2) * dy) /
            chord;
        const bool is_long = std::abs(sweep_about(center_x, center_y)) > std::numbers::pi;
        // Where the chord is so short that this would shift the far side, the centre stays as said:
        // the end then lies off the circle by what the decimals allow.
        if (std::abs(off) <= (is_long ? 2 * mismatch : farthest_off_mm)) {
            center_x -= off * dx / chord;
            center_y -= off * dy / chord;
            radius = std::hypot(step.from.x - center_x, step.from.y - center_y);
        }
    }
    const double sweep = sweep_about(center_x, center_y);
    step.is_arc = true;
    step.arc = {center_x, center_y, radius, sweep};
}

}  // namespace durograde::program
