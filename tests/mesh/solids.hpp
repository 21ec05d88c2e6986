#pragma once

#include <cmath>
#include <memory>
#include <numbers>
#include <vector>

#include "mesh/triangles.hpp"
#include "random.hpp"

/// Surfaces of known solids as triangles three points each, corners counter-clockwise from outside.
namespace durograde::mesh_test {

using mesh::Point;
using Soup = std::vector<Point>;

inline void add(Soup& soup, const Point& a, const Point& b, const Point& c) {
    soup.insert(soup.end(), {a, b, c});
}

/// A box of `size` with its low corner at `low`.
inline Soup box(const Point& low, const Point& size) {
    const auto corner = [&](int i) {
        return Point{low[0] + ((i & 1) != 0 ? size[0] : 0), low[1] + ((i & 2) != 0 ? size[1] : 0),
                     low[2] + ((i & 4) != 0 ? size[2] : 0)};
    };
    constexpr int faces[6][4] = {{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4},
                                 {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}};
    Soup soup;
    for (const auto& face : faces) {
        add(soup, corner(face[0]), corner(face[1]), corner(face[2]));
        add(soup, corner(face[0]), corner(face[2]), corner(face[3]));
    }
    return soup;
}

/// A ball about the origin: bands of equal latitude, `steps` from pole to pole, twice as many
/// around.
inline Soup ball(double radius_mm, int steps) {
    const auto at = [&](int band, int around) {
        const double polar = std::numbers::pi * band / steps;
        const double turn = std::numbers::pi * (around % (2 * steps)) / steps;
        // The poles are one point each, whatever the sine of π is.
        const double away = band == 0 || band == steps ? 0.0 : radius_mm * std::sin(polar);
        return Point{away * std::cos(turn), away * std::sin(turn), radius_mm * std::cos(polar)};
    };
    Soup soup;
    for (int band = 0; band < steps; ++band) {
        for (int around = 0; around < 2 * steps; ++around) {
            if (band + 1 < steps)
                add(soup, at(band, around), at(band + 1, around), at(band + 1, around + 1));
            if (band > 0)
                add(soup, at(band, around), at(band + 1, around + 1), at(band, around + 1));
        }
    }
    return soup;
}

inline std::shared_ptr<const mesh::Triangles> welded(const Soup& soup) {
    return std::make_shared<const mesh::Triangles>(mesh::weld(soup));
}

inline Point random_point(sheets::Random& random, int reach_mm) {
    return {random.stepped(-100 * reach_mm, 100 * reach_mm, 0.01),
            random.stepped(-100 * reach_mm, 100 * reach_mm, 0.01),
            random.stepped(-100 * reach_mm, 100 * reach_mm, 0.01)};
}

/// Triangles anywhere: nothing that encloses anything.
inline Soup random_soup(sheets::Random& random, int count) {
    Soup soup;
    for (int i = 0; i < count; ++i) {
        const Point at = random_point(random, 10);
        for (int corner = 0; corner < 3; ++corner) {
            const Point off = random_point(random, 2);
            soup.push_back({at[0] + off[0], at[1] + off[1], at[2] + off[2]});
        }
    }
    return soup;
}

}  // namespace durograde::mesh_test
