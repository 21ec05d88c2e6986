#pragma once

#include <cmath>

/// Positions and arcs: what programs move along and fields are painted with.
namespace durograde::geometry {

/// A position of the nozzle in machine coordinates, mm.
struct Point {
    double x = 0.0, y = 0.0, z = 0.0;

    friend bool operator==(const Point&, const Point&) = default;
};

// Coordinates are at most metres, so plain squares are safe, and several times faster than
// std::hypot.
inline double distance_xy(const Point& a, const Point& b) {
    const double dx = b.x - a.x, dy = b.y - a.y;
    return std::sqrt(dx * dx + dy * dy);
}

inline double distance(const Point& a, const Point& b) {
    const double dx = b.x - a.x, dy = b.y - a.y, dz = b.z - a.z;
    return std::sqrt(dx * dx + dy * dy + dz * dz);
}

inline Point between(const Point& a, const Point& b, double fraction) {
    return {a.x + (b.x - a.x) * fraction, a.y + (b.y - a.y) * fraction,
            a.z + (b.z - a.z) * fraction};
}

/// An arc in the XY plane; height changes in proportion to the angle.
struct Arc {
    double center_x = 0.0, center_y = 0.0;
    double radius = 0.0;     ///< mm
    double sweep_rad = 0.0;  ///< counter-clockwise positive

    [[nodiscard]] double length_mm() const { return radius * std::abs(sweep_rad); }
};

/// The point of an arc from `from` to `to` at `fraction` of its sweep.
inline Point along(const Arc& arc, const Point& from, const Point& to, double fraction) {
    if (fraction >= 1.0) return to;
    const double angle =
        std::atan2(from.y - arc.center_y, from.x - arc.center_x) + arc.sweep_rad * fraction;
    return {arc.center_x + arc.radius * std::cos(angle),
            arc.center_y + arc.radius * std::sin(angle), from.z + (to.z - from.z) * fraction};
}

}  // namespace durograde::geometry
