#pragma once

#include <cstdint>
#include <vector>

#include "mesh/triangles.hpp"

namespace durograde::mesh {

/// The generalized winding number of a surface: how often it goes round a point, which is 1 inside
/// and 0 outside of a closed one, and changes smoothly across a hole of an open one (Jacobson,
/// Kavan, Sorkine-Hornung: Robust inside-outside segmentation using generalized winding numbers,
/// ACM TOG 32(4), 2013). Triangles far away count as one dipole a group (Barill et al.: Fast
/// winding numbers for soups and clouds, ACM TOG 37(4), 2018).
class Winding {
  public:
    /// `triangles` holds at least one, and must outlive this.
    explicit Winding(const Triangles& triangles);

    /// The winding number at `point`. What groups add to its error is below a tenth on closed
    /// surfaces, which a threshold of a half does not feel.
    [[nodiscard]] double at(const Point& point) const;
    /// How many triangles and groups are looked at for that.
    [[nodiscard]] std::size_t looks(const Point& point) const;

  private:
    struct Group {
        Point center{};                     ///< mean of the triangles' centres by area
        Point area_mm2{};                   ///< sum of their areas times normals
        double radius_mm = 0.0;             ///< that holds all their corners
        std::uint32_t first = 0, last = 0;  ///< of `order_`
        std::uint32_t next = 0;             ///< group after this one and all within it
    };

    double sum(const Point& point, std::size_t& looks) const;
    void build(std::uint32_t first, std::uint32_t last);
    [[nodiscard]] Group sum_up(std::uint32_t first, std::uint32_t last) const;

    const Triangles* triangles_;
    std::vector<std::uint32_t> order_;
    std::vector<Group> groups_;  ///< each before those within it
};

/// The solid angle of a triangle seen from `point`, over 4π, positive where its corners run
/// counter-clockwise seen from the side that `point` is not on (van Oosterom and Strackee: The
/// solid angle of a plane triangle, IEEE Trans. Biomed. Eng. 30(2), 1983).
double share_of_sphere(const std::array<Point, 3>& triangle, const Point& point);

}  // namespace durograde::mesh
