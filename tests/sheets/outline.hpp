/// @file
/// The outlines of parts and cavities, as closed paths and as regions that lines are clipped to.
#pragma once

#include <optional>
#include <vector>

#include "style.hpp"

namespace durograde::sheets {

/// A point or a direction in the plane, in mm.
struct Point {
    double x_mm = 0;
    double y_mm = 0;
};

/// One end of a segment of a path. The first knot of a path is where it starts; each further knot
/// says how the path comes to it.
struct Knot {
    Point at;
    double sweep_rad = 0;  ///< 0: straight; above 0: arc counter-clockwise; below: clockwise
    Point center;          ///< of the arc
};

using Path = std::vector<Knot>;

/// Cosine and sine of an angle, the same to the last bit everywhere, which the functions of the
/// standard library do not promise.
Point unit_vector(double angle_deg);

/// A box around the origin with rounded corners. With corners of half its sides it is a circle,
/// with corners of half its smaller side a slot.
struct RoundedBox {
    double half_x_mm = 0;
    double half_y_mm = 0;
    double corner_mm = 0;

    /// The same box with its outline moved outwards by `by_mm` (inwards, if negative). Corners
    /// that are consumed on the way in become sharp.
    RoundedBox grown(double by_mm) const;

    /// True if there is anything left of it.
    bool exists() const { return half_x_mm > 0 && half_y_mm > 0; }
};

/// How a closed path is drawn.
struct LoopForm {
    int seam = 0;  ///< the corner at which it starts, 0 to 3
    bool clockwise = false;
    Arcs arcs = Arcs::none;
    bool full_circle = false;  ///< a circle is one arc
    double step_mm = 0.8;      ///< of straight segments in a corner
};

/// Puts the closed outline of a box into `path`, which loses what it held. It ends where it starts.
void trace_loop(const RoundedBox& box, const LoopForm& form, Path& path);

/// A stretch of a line, as distances from the line's base point.
struct Span {
    double from_mm = 0;
    double to_mm = 0;
};

/// The stretch of the line through `base` along the unit vector `along` that lies in the box.
std::optional<Span> clip(const RoundedBox& box, Point base, Point along);

}  // namespace durograde::sheets
