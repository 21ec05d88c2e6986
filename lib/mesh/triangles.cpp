#include "mesh/triangles.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <unordered_map>

#include "mesh/vectors.hpp"

namespace durograde::mesh {
namespace {

struct HashOfPoint {
    std::size_t operator()(const Point& point) const noexcept {
        std::uint64_t mixed = 0;
        for (const double coordinate : point) {
            std::uint64_t bits = 0;
            std::memcpy(&bits, &coordinate, sizeof bits);
            // The multiplier of a 64-bit linear congruential generator (Knuth, TAOCP 2, 3.3.4).
            mixed = (mixed ^ (bits >> 29U) ^ bits) * 6364136223846793005U;
        }
        return static_cast<std::size_t>(mixed ^ (mixed >> 32U));
    }
};

/// An edge with its lower end first, and which way a triangle runs along it.
struct Edge {
    std::uint32_t low = 0, high = 0;
    int way = 0;  ///< +1 from low to high, −1 back

    bool operator<(const Edge& other) const {
        return low != other.low ? low < other.low : high < other.high;
    }
    [[nodiscard]] bool is_along(const Edge& other) const {
        return low == other.low && high == other.high;
    }
};

std::vector<Edge> sorted_edges(const Triangles& triangles) {
    std::vector<Edge> edges;
    edges.reserve(triangles.corners.size() * 3);
    for (const auto& corners : triangles.corners) {
        for (std::size_t i = 0; i < 3; ++i) {
            const std::uint32_t from = corners[i], to = corners[(i + 1) % 3];
            edges.push_back({std::min(from, to), std::max(from, to), from < to ? 1 : -1});
        }
    }
    std::sort(edges.begin(), edges.end());
    return edges;
}

}  // namespace

Triangles weld(std::span<const Point> soup) {
    Triangles triangles;
    std::unordered_map<Point, std::uint32_t, HashOfPoint> known;
    known.reserve(soup.size() / 2);
    const auto index_of = [&](const Point& given) {
        // −0 and 0 are one place.
        const Point point = {given[0] + 0.0, given[1] + 0.0, given[2] + 0.0};
        const auto next = static_cast<std::uint32_t>(triangles.points.size());
        const auto [entry, is_new] = known.try_emplace(point, next);
        if (is_new) triangles.points.push_back(point);
        return entry->second;
    };
    triangles.corners.reserve(soup.size() / 3);
    for (std::size_t i = 0; i + 2 < soup.size(); i += 3) {
        const Point normal = cross(soup[i + 1] - soup[i], soup[i + 2] - soup[i]);
        if (!(dot(normal, normal) > 0.0)) continue;
        triangles.corners.push_back(
            {index_of(soup[i]), index_of(soup[i + 1]), index_of(soup[i + 2])});
    }
    return triangles;
}

OpenEdges open_edges(const Triangles& triangles) {
    const std::vector<Edge> edges = sorted_edges(triangles);
    OpenEdges open;
    for (std::size_t first = 0; first < edges.size();) {
        int balance = 0;
        std::size_t last = first;
        for (; last < edges.size() && edges[last].is_along(edges[first]); ++last)
            balance += edges[last].way;
        if (balance != 0) {
            ++open.count;
            open.length_mm +=
                norm(triangles.points[edges[first].high] - triangles.points[edges[first].low]);
        }
        first = last;
    }
    return open;
}

double volume_mm3(const Triangles& triangles) {
    if (triangles.points.empty()) return 0.0;
    const Point origin = triangles.points.front();  // near the surface, so that little cancels out
    double six_volumes = 0.0;
    for (std::size_t i = 0; i < triangles.corners.size(); ++i) {
        const auto [a, b, c] = triangles.triangle(i);
        six_volumes += dot(a - origin, cross(b - origin, c - origin));
    }
    return six_volumes / 6;
}

void turn_inside_out(Triangles& triangles) {
    for (auto& corners : triangles.corners) std::swap(corners[1], corners[2]);
}

}  // namespace durograde::mesh
