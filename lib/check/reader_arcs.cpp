#include <algorithm>
#include <cmath>
#include <numbers>
#include <string_view>

#include "check/reader.hpp"

namespace durograde::check {

using grammar::Word;

namespace {

constexpr double even_mm = 0.005;    // by which both ends may differ and lie on one circle
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
    // A half circle's ends are written rounded.
    if (chord < nothing_mm || chord > 2 * std::abs(radius) + std::max(1e-4, rounding_mm())) {
        return fault("no arc of this radius joins the ends", r);
    }
    const double away = std::sqrt(std::max(0.0, radius * radius - chord * chord / 4));
    const double left = clockwise == (radius > 0) ? -away : away;
    act_.arc.center_x = (act_.from.x + act_.to.x) / 2 - left * dy / chord;
    act_.arc.center_y = (act_.from.y + act_.to.y) / 2 + left * dx / chord;
    return true;
}

/// Each number of an arc may be off by half a unit of the last decimal; the two distances from the
/// centre rest on four roundings along either axis: the start's twice, for the centre is told from
/// it, the centre's and the end's.
double Reader::rounding_mm() {
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        if (std::string_view("XYIJR").find(word.letter) == std::string_view::npos) continue;
        double unit = 1.0;
        for (int digits = word.decimals; digits > 0; --digits) unit /= 10;
        finest_arc_unit_ = std::min(finest_arc_unit_, unit);
    }
    const double each_axis_mm = 4 * 0.5 * finest_arc_unit_ * state_.frame.unit_mm();
    return std::hypot(each_axis_mm, each_axis_mm);
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
                        (mismatch <= even_mm || mismatch <= 0.001 * arc.radius ||
                         mismatch <= std::max(arc_slack_mm_, rounding_mm()));
    if (!is_arc)
        return fault("start and end lie at different distances from the centre", line_.words[0]);
    arcs_off_by_mm_ = std::max(arcs_off_by_mm_, mismatch);
    turn_to_end(clockwise);
    if (mismatch > even_mm) level(clockwise);
    return true;
}

void Reader::turn_to_end(bool clockwise) {
    Arc& arc = act_.arc;
    arc.begin_rad = std::atan2(act_.from.y - arc.center_y, act_.from.x - arc.center_x);
    const double end_rad = std::atan2(act_.to.y - arc.center_y, act_.to.x - arc.center_x);
    constexpr double turn = 2 * std::numbers::pi;
    constexpr double closed_rad = 1e-9;
    double angle = std::fmod(end_rad - arc.begin_rad, turn);
    if (clockwise) angle = -angle;
    if (angle < closed_rad) angle += turn;
    if (angle < closed_rad) angle += turn;
    arc.sweep_rad = clockwise ? -angle : angle;
}

/// Slides the centre along the chord until both ends lie on one circle around it: by half the
/// difference of the squared distances, over the chord. Not where that moves a long arc's far side
/// by more than the ends disagree: the centre is what the line says then.
void Reader::level(bool clockwise) {
    Arc& arc = act_.arc;
    const Point &from = act_.from, &to = act_.to;
    const double along_x = to.x - from.x, along_y = to.y - from.y;
    const double chord = std::hypot(along_x, along_y);
    const double at_start = std::hypot(from.x - arc.center_x, from.y - arc.center_y);
    const double at_end = std::hypot(to.x - arc.center_x, to.y - arc.center_y);
    const double slide = (at_end - at_start) * (at_end + at_start) / (2 * chord);
    constexpr double most_mm = 0.25;
    const bool far_side = std::abs(arc.sweep_rad) > std::numbers::pi;
    const double allowed = far_side ? 2 * std::abs(at_end - at_start) : most_mm;
    if (!(chord > nothing_mm) || std::abs(slide) > allowed) return;
    arc.center_x += slide * along_x / chord;
    arc.center_y += slide * along_y / chord;
    arc.radius = std::hypot(from.x - arc.center_x, from.y - arc.center_y);
    turn_to_end(clockwise);
}

}  // namespace durograde::check
