#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace durograde::mesh {

using Point = std::array<double, 3>;  ///< x, y, z in mm

/// Ends of straight edges in the length that they have together.
struct OpenEdges {
    std::size_t count = 0;
    double length_mm = 0.0;
};

/// A surface as triangles that share their corners. Seen from outside a triangle's corners run
/// counter-clockwise.
struct Triangles {
    std::vector<Point> points;
    std::vector<std::array<std::uint32_t, 3>> corners;  ///< indices into `points`

    [[nodiscard]] std::array<Point, 3> triangle(std::size_t index) const {
        const auto& [a, b, c] = corners[index];
        return {points[a], points[b], points[c]};
    }
};

/// Triangles from points three by three. Equal points become one; triangles without area are left
/// out. Holds at most 2³² points.
Triangles weld(std::span<const Point> soup);

/// Edges that do not run equally often in either direction: the rims of what the surface leaves
/// open. None on a closed surface.
OpenEdges open_edges(const Triangles& triangles);

/// What the surface encloses, mm³; negative where it is turned inside out. By the divergence
/// theorem: the sum of the signed tetrahedra between the triangles and one point.
double volume_mm3(const Triangles& triangles);

/// Lets every triangle face the other way.
void turn_inside_out(Triangles& triangles);

}  // namespace durograde::mesh
