#pragma once

#include <algorithm>
#include <cmath>

namespace durograde::check {

/// A position of the nozzle in machine coordinates, mm.
struct Point {
    double x = 0.0, y = 0.0, z = 0.0;
};

inline double distance_xy(const Point& a, const Point& b) {
    const double dx = b.x - a.x, dy = b.y - a.y;
    return std::sqrt(dx * dx + dy * dy);
}

inline double distance(const Point& a, const Point& b) {
    const double dx = b.x - a.x, dy = b.y - a.y, dz = b.z - a.z;
    return std::sqrt(dx * dx + dy * dy + dz * dz);
}

/// Within `slack_mm` of each other on every axis.
inline bool is_near(const Point& a, const Point& b, double slack_mm) {
    return std::abs(a.x - b.x) <= slack_mm && std::abs(a.y - b.y) <= slack_mm &&
           std::abs(a.z - b.z) <= slack_mm;
}

inline Point between(const Point& a, const Point& b, double share) {
    return {a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share, a.z + (b.z - a.z) * share};
}

/// An arc in the XY plane; height changes in proportion to the angle.
struct Arc {
    double center_x = 0.0, center_y = 0.0;  ///< mm
    double radius = 0.0;                    ///< mm
    double begin_rad = 0.0;                 ///< direction from the centre to the start
    double sweep_rad = 0.0;                 ///< counter-clockwise positive

    [[nodiscard]] double length_mm() const { return radius * std::abs(sweep_rad); }

    /// The point at `share` of the sweep; heights go from `from_z` to `to_z`.
    [[nodiscard]] Point at(double share, double from_z, double to_z) const {
        const double angle = begin_rad + sweep_rad * share;
        return {center_x + radius * std::cos(angle), center_y + radius * std::sin(angle),
                from_z + (to_z - from_z) * share};
    }
};

}  // namespace durograde::check
