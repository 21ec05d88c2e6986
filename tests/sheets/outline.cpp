/// @file
#include "outline.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace durograde::sheets {
namespace {

constexpr double tiny_mm = 1e-6;

/// Sine and cosine by their series; at 45 degrees the first terms left out are below 1e-15.
Point small_unit_vector(double angle_rad) {
    const double square = angle_rad * angle_rad;
    double sine = 0;
    double cosine = 0;
    for (int n = 8; n >= 1; --n) {
        sine = (1 - sine) * square / ((2.0 * n) * (2.0 * n + 1));
        cosine = (1 - cosine) * square / ((2.0 * n - 1) * (2.0 * n));
    }
    return {1 - cosine, (1 - sine) * angle_rad};
}

/// `turns` quarter turns counter-clockwise, exactly.
Point quarter_turned(Point point, int turns) {
    for (int turn = 0; turn < turns % 4; ++turn) point = {-point.y_mm, point.x_mm};
    return point;
}

Point corner_center(const RoundedBox& box, int corner) {
    const double x_mm = box.half_x_mm - box.corner_mm;
    const double y_mm = box.half_y_mm - box.corner_mm;
    return {corner == 0 || corner == 3 ? x_mm : -x_mm, corner < 2 ? y_mm : -y_mm};
}

Point on_corner(const RoundedBox& box, int corner, Point direction) {
    const Point center = corner_center(box, corner);
    return {center.x_mm + box.corner_mm * direction.x_mm,
            center.y_mm + box.corner_mm * direction.y_mm};
}

void add_straight(Path& path, Point to) {
    const Point last = path.back().at;
    const double far_mm = std::max(std::abs(to.x_mm - last.x_mm), std::abs(to.y_mm - last.y_mm));
    if (far_mm > tiny_mm) path.push_back({to, 0, {}});
}

/// The quarter circle of one corner, from where the path stands at its beginning.
void add_corner(const RoundedBox& box, int corner, const LoopForm& form, Path& path) {
    if (box.corner_mm < tiny_mm) return;
    const double length_mm = box.corner_mm * std::numbers::pi / 2;
    if (form.arcs != Arcs::none) {
        const Point end = on_corner(box, corner, quarter_turned({1, 0}, corner + 1));
        path.push_back({end, std::numbers::pi / 2, corner_center(box, corner)});
        return;
    }
    const int steps = std::clamp(static_cast<int>(std::lround(length_mm / form.step_mm)), 2, 64);
    for (int step = 1; step <= steps; ++step) {
        const Point direction = quarter_turned(unit_vector(90.0 * step / steps), corner);
        add_straight(path, on_corner(box, corner, direction));
    }
}

bool is_circle(const RoundedBox& box) {
    return std::abs(box.half_x_mm - box.corner_mm) < tiny_mm &&
           std::abs(box.half_y_mm - box.corner_mm) < tiny_mm;
}

/// The boxes are symmetric, so that the way round clockwise is the mirror image of the other.
void mirror(Path& path) {
    for (Knot& knot : path) {
        knot.at.y_mm = -knot.at.y_mm;
        knot.center.y_mm = -knot.center.y_mm;
        knot.sweep_rad = -knot.sweep_rad;
    }
}

std::optional<Span> clip_box(double half_x_mm, double half_y_mm, Point base, Point along) {
    Span span{-1e9, 1e9};
    const std::array<std::array<double, 3>, 2> axes{
        {{base.x_mm, along.x_mm, half_x_mm}, {base.y_mm, along.y_mm, half_y_mm}}};
    for (const auto& [start_mm, slope, half_mm] : axes) {
        if (std::abs(slope) < 1e-12) {
            if (std::abs(start_mm) > half_mm) return std::nullopt;
            continue;
        }
        const double one_mm = (-half_mm - start_mm) / slope;
        const double other_mm = (half_mm - start_mm) / slope;
        span.from_mm = std::max(span.from_mm, std::min(one_mm, other_mm));
        span.to_mm = std::min(span.to_mm, std::max(one_mm, other_mm));
    }
    if (span.from_mm > span.to_mm) return std::nullopt;
    return span;
}

std::optional<Span> clip_circle(Point center, double radius_mm, Point base, Point along) {
    const Point gap{center.x_mm - base.x_mm, center.y_mm - base.y_mm};
    const double middle_mm = gap.x_mm * along.x_mm + gap.y_mm * along.y_mm;
    const double aside_mm = gap.x_mm * along.y_mm - gap.y_mm * along.x_mm;
    const double square_mm2 = radius_mm * radius_mm - aside_mm * aside_mm;
    if (square_mm2 < 0) return std::nullopt;
    const double half_mm = std::sqrt(square_mm2);
    return Span{middle_mm - half_mm, middle_mm + half_mm};
}

}  // namespace

Point unit_vector(double angle_deg) {
    const double turns = std::floor(angle_deg / 90.0 + 0.5);
    const double rest_deg = angle_deg - 90.0 * turns;
    const int quarters = static_cast<int>(turns - 4.0 * std::floor(turns / 4.0));
    return quarter_turned(small_unit_vector(rest_deg * std::numbers::pi / 180.0), quarters);
}

RoundedBox RoundedBox::grown(double by_mm) const {
    return {half_x_mm + by_mm, half_y_mm + by_mm, std::max(0.0, corner_mm + by_mm)};
}

void trace_loop(const RoundedBox& box, const LoopForm& form, Path& path) {
    path.clear();
    const Point start = on_corner(box, form.seam, quarter_turned({1, 0}, form.seam));
    path.push_back({start, 0, {}});
    if (form.full_circle && is_circle(box)) {
        path.push_back({start, 2 * std::numbers::pi, {0, 0}});
    } else {
        for (int turn = 0; turn < 4; ++turn) {
            const int corner = (form.seam + turn) % 4;
            const int next = (corner + 1) % 4;
            add_corner(box, corner, form, path);
            add_straight(path, on_corner(box, next, quarter_turned({1, 0}, next)));
        }
        path.back().at = start;
    }
    if (form.clockwise) mirror(path);
}

/// The box is two crossing boxes and four discs; it is convex, so that the pieces of a line in them
/// make one stretch.
std::optional<Span> clip(const RoundedBox& box, Point base, Point along) {
    const double flat_x_mm = box.half_x_mm - box.corner_mm;
    const double flat_y_mm = box.half_y_mm - box.corner_mm;
    std::optional<Span> whole = clip_box(box.half_x_mm, flat_y_mm, base, along);
    const auto join = [&whole](const std::optional<Span>& piece) {
        if (!piece) return;
        if (!whole) whole = piece;
        whole->from_mm = std::min(whole->from_mm, piece->from_mm);
        whole->to_mm = std::max(whole->to_mm, piece->to_mm);
    };
    join(clip_box(flat_x_mm, box.half_y_mm, base, along));
    for (int corner = 0; corner < 4; ++corner) {
        join(clip_circle(corner_center(box, corner), box.corner_mm, base, along));
    }
    return whole;
}

}  // namespace durograde::sheets
