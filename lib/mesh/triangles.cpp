#include "mesh/triangles.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <unordered_map>
#include <utility>

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

/// A triangle by its corners in order, and which way it faces.
struct Face {
    std::array<std::uint32_t, 3> sorted{};
    std::uint32_t at = 0;
    bool is_even = false;  ///< its corners are an even permutation of the sorted ones
};

Face face_of(std::array<std::uint32_t, 3> corners, std::uint32_t at) {
    Face face{corners, at, true};
    for (const std::size_t a : {0U, 1U, 0U}) {
        const std::size_t b = a + 1;
        if (face.sorted[a] <= face.sorted[b]) continue;
        std::swap(face.sorted[a], face.sorted[b]);
        face.is_even = !face.is_even;
    }
    return face;
}

/// Of triangles on the same three points one is left, facing as most of them do, or one each way
/// where they are as many: copies add nothing to a surface, and take time at every look at it.
void drop_copies(std::vector<std::array<std::uint32_t, 3>>& corners) {
    std::vector<Face> faces;
    faces.reserve(corners.size());
    for (std::uint32_t i = 0; i < corners.size(); ++i) faces.push_back(face_of(corners[i], i));
    std::sort(faces.begin(), faces.end(), [](const Face& a, const Face& b) {
        return a.sorted != b.sorted ? a.sorted < b.sorted : a.at < b.at;
    });
    std::vector<bool> stays(corners.size(), false);
    for (std::size_t first = 0, last = 0; first < faces.size(); first = last) {
        std::array<std::size_t, 2> first_of = {faces.size(), faces.size()}, count = {0, 0};
        for (; last < faces.size() && faces[last].sorted == faces[first].sorted; ++last) {
            const std::size_t way = faces[last].is_even ? 1 : 0;
            if (count[way]++ == 0) first_of[way] = last;
        }
        for (const std::size_t way : {0U, 1U}) {
            if (count[way] > 0 && count[way] >= count[1 - way])
                stays[faces[first_of[way]].at] = true;
        }
    }
    std::size_t kept = 0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        if (stays[i]) corners[kept++] = corners[i];
    }
    corners.resize(kept);
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
    drop_copies(triangles.corners);
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
