/// @file
/// The moves of the pen; its program frame and settings are in pen_program.cpp.
#include "pen.hpp"

#include <array>
#include <cmath>
#include <utility>

namespace durograde::sheets {
namespace {

constexpr double travel_mm_s = 150;
constexpr double height_mm_s = 12;
constexpr double retract_mm_s = 35;

double power_of_ten(int exponent) {
    double power = 1;
    for (int count = 0; count < exponent; ++count) power *= 10;
    return power;
}

double length_of(const Path& path) {
    double length_mm = 0;
    for (std::size_t knot = 1; knot < path.size(); ++knot) {
        const double x_mm = path[knot].at.x_mm - path[knot - 1].at.x_mm;
        const double y_mm = path[knot].at.y_mm - path[knot - 1].at.y_mm;
        length_mm += std::sqrt(x_mm * x_mm + y_mm * y_mm);
    }
    return length_mm;
}

}  // namespace

Pen::Pen(const Style& style, Sink sink)
    : style_(style), lines_(style, std::move(sink)), noise_(style.seed ^ 0x5EEDULL) {
    const double unit_per_mm = style.inches ? 1 / 25.4 : 1.0;
    grid_per_mm_ = power_of_ten(style.xy_decimals) * unit_per_mm;
    e_grid_per_mm_ = power_of_ten(style.e_decimals) * unit_per_mm;
    if (style.volumetric) e_grid_per_mm_ *= filament_area_mm2(style);
}

void Pen::begin_layer(int layer) {
    layer_ = layer;
    layer_top_mm_ = top_of_layer_mm(style_, layer);
    set_bead(layer == 0 ? style_.first_layer_mm : style_.layer_mm);
    if (style_.absolute_e && style_.e_resets) {
        lines_.command("G92 E0");
        e_exact_ -= static_cast<double>(e_written_);
        e_written_ = 0;
    }
    retract();
    move_z(to_grid(layer_top_mm_));
}

void Pen::begin_spiral() {
    layer_ = 1;
    set_bead(style_.layer_mm);
}

void Pen::pass_over(Point to, double clear_mm) {
    retract();
    move_z(to_grid(clear_mm));
    jump(to_spot(to));
}

void Pen::draw(const Path& path, const Stroke& stroke) {
    if (path.size() < 2) return;
    turn_ = unit_vector(stroke.place.turn_deg);
    maybe_pin();
    settle(stroke.feature);
    travel(to_spot(path.front().at, stroke.place));
    restart();
    if (style_.feed_alone) {
        lines_.begin_move(1);
        feed_ = -1;
        add_feed(print_feed_mm_s_);
        lines_.end_line();
    }
    const double slope = stroke.rise_mm == 0 ? 0 : stroke.rise_mm / length_of(path);
    for (std::size_t knot = 1; knot < path.size(); ++knot) {
        const double x_mm = path[knot].at.x_mm - path[knot - 1].at.x_mm;
        const double y_mm = path[knot].at.y_mm - path[knot - 1].at.y_mm;
        layer_top_mm_ += slope * std::sqrt(x_mm * x_mm + y_mm * y_mm);
        extrude_to(path[knot], stroke.place);
    }
    has_drawn_ = true;
}

/// The amount follows the way between the points as written, not as meant.
void Pen::extrude_to(const Knot& knot, const Place& place) {
    const Spot to = to_spot(knot.at, place);
    const Grid to_z = to_grid(layer_top_mm_);
    const bool straight = knot.sweep_rad == 0;
    if (straight && to.x == at_.x && to.y == at_.y) return;
    const double x_mm = to_mm(at_.x, to.x);
    const double y_mm = to_mm(at_.y, to.y);
    const double z_mm = to_mm(z_, to_z);
    double length_mm = std::sqrt(x_mm * x_mm + y_mm * y_mm + z_mm * z_mm);
    lines_.begin_move(straight ? 1 : (knot.sweep_rad > 0 ? 3 : 2));
    const Spot from = at_;
    add_axes(to, !straight);
    if (to_z != z_) add_axis('Z', z_, to_z);
    z_ = to_z;
    if (!straight) length_mm = add_arc(from, knot, place);
    add_e(length_mm * filament_per_mm_);
    add_feed(print_feed_mm_s_);
    lines_.end_line(end_comment());
}

void Pen::set_bead(double height_mm) {
    filament_per_mm_ = bead_area_mm2(style_, height_mm) / filament_area_mm2(style_);
}

Pen::Grid Pen::to_grid(double length_mm) const {
    return static_cast<Grid>(std::llround(length_mm * grid_per_mm_));
}

double Pen::to_mm(Grid from, Grid to) const {
    return static_cast<double>(to - from) / grid_per_mm_;
}

/// The offset is added after rounding, so that a shifted sheet has the same beads exactly.
Pen::Spot Pen::to_spot(Point at) const {
    return {to_grid(at.x_mm) + to_grid(style_.offset_x_mm),
            to_grid(at.y_mm) + to_grid(style_.offset_y_mm)};
}

Pen::Spot Pen::to_spot(Point at, const Place& place) const {
    return to_spot({place.x_mm + turn_.x_mm * at.x_mm - turn_.y_mm * at.y_mm,
                    place.y_mm + turn_.y_mm * at.x_mm + turn_.x_mm * at.y_mm});
}

void Pen::travel(Spot to) {
    if (to.x == at_.x && to.y == at_.y) return;
    const double x_mm = to_mm(at_.x, to.x);
    const double y_mm = to_mm(at_.y, to.y);
    if (std::sqrt(x_mm * x_mm + y_mm * y_mm) > style_.retract_beyond_mm) retract();
    const Grid hop_by = retracted_ ? to_grid(style_.hop_mm) : 0;
    hop(hop_by);
    jump(to);
    hop(-hop_by);
}

void Pen::jump(Spot to) {
    if (to.x == at_.x && to.y == at_.y) return;
    lines_.begin_move(style_.travel_g0 ? 0 : 1);
    add_axes(to, false);
    add_feed(travel_mm_s);
    lines_.end_line(end_comment());
}

/// There is nothing to draw back before the first stroke.
void Pen::retract() {
    if (!has_drawn_ || retracted_ || style_.retract == Retract::none) return;
    retracted_ = true;
    shift_filament(-style_.retract_mm);
}

void Pen::restart() {
    if (!retracted_) return;
    retracted_ = false;
    shift_filament(style_.retract_mm);
}

/// Rounded on its own, so that what is drawn back and what is restarted are equal as written.
void Pen::shift_filament(double by_mm) {
    if (style_.retract == Retract::firmware) {
        lines_.command(by_mm < 0 ? "G10" : "G11");
        return;
    }
    const Grid by = static_cast<Grid>(std::llround(by_mm * e_grid_per_mm_));
    e_exact_ += static_cast<double>(by);
    e_written_ += by;
    lines_.begin_move(1);
    lines_.word('E', style_.absolute_e ? e_written_ : by, style_.e_decimals);
    add_feed(retract_mm_s);
    lines_.end_line();
}

/// A controller may take G90 and G91 for E as well, so that relative E is said again.
void Pen::hop(Grid by) {
    if (by == 0) return;
    if (!style_.hop_relative || relative_now_) {
        move_z(z_ + by);
        return;
    }
    lines_.command("G91");
    relative_now_ = true;
    move_z(z_ + by);
    write_modes(false);
}

void Pen::move_z(Grid to) {
    if (to == z_) return;
    lines_.begin_move(style_.travel_g0 ? 0 : 1);
    add_axis('Z', z_, to);
    z_ = to;
    add_feed(height_mm_s);
    lines_.end_line();
}

void Pen::add_axes(Spot to, bool both) {
    const bool skip = style_.skip_same && !both;
    if (!skip || to.x != at_.x) add_axis('X', at_.x, to.x);
    if (!skip || to.y != at_.y) add_axis('Y', at_.y, to.y);
    at_ = to;
}

void Pen::add_axis(char letter, Grid from, Grid to) {
    lines_.word(letter, relative_now_ ? to - from : to, style_.xy_decimals);
}

/// The centre, or the radius; gives the length of the arc.
double Pen::add_arc(Spot from, const Knot& knot, const Place& place) {
    const double x_mm = knot.at.x_mm - knot.center.x_mm;
    const double y_mm = knot.at.y_mm - knot.center.y_mm;
    const double radius_mm = std::sqrt(x_mm * x_mm + y_mm * y_mm);
    if (style_.arcs == Arcs::radius) {
        lines_.word('R', to_grid(radius_mm), style_.xy_decimals);
    } else {
        const Spot center = to_spot(knot.center, place);
        lines_.word('I', center.x - from.x, style_.xy_decimals);
        lines_.word('J', center.y - from.y, style_.xy_decimals);
    }
    return radius_mm * std::abs(knot.sweep_rad);
}

/// The rounding is carried on from bead to bead, so that the sum stays right.
void Pen::add_e(double filament_mm) {
    e_exact_ += filament_mm * e_grid_per_mm_;
    const Grid to = static_cast<Grid>(std::llround(e_exact_));
    lines_.word('E', style_.absolute_e ? to : to - e_written_, style_.e_decimals);
    e_written_ = to;
}

void Pen::add_feed(double mm_s) {
    const double units_min = style_.inches ? mm_s * 60 * 100 / 25.4 : mm_s * 60;
    const Grid feed = static_cast<Grid>(std::llround(units_min));
    if (feed == feed_) return;
    feed_ = feed;
    lines_.word('F', feed, style_.inches ? 2 : 0);
}

std::string_view Pen::end_comment() {
    if (style_.comments != Comments::many || !noise_.chance(2)) return {};
    static constexpr std::array<std::string_view, 5> remarks{
        "slowly here", "(see note 4) G1 X0 is not meant", "na\xC3\xAFve \xC2\xB5m",
        "\xFF\x01 odd bytes \xFE", "gr\xFC\x6E"};
    return remarks[static_cast<std::size_t>(noise_.between(0, 4))];
}

}  // namespace durograde::sheets
