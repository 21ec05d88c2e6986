#include "mesh/triangles.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "mesh/effort.hpp"
#include "solids.hpp"

/// Surfaces as triangles that share corners.
namespace durograde {
namespace {

using mesh_test::ball;
using mesh_test::box;
using mesh_test::Soup;

/// A regular icosahedron of edge 2, its corners the cyclic permutations of (0, ±1, ±φ).
Soup icosahedron() {
    const double phi = (1 + std::sqrt(5.0)) / 2;
    std::vector<mesh::Point> corners;
    for (const double one : {-1.0, 1.0}) {
        for (const double other : {-phi, phi}) {
            corners.insert(corners.end(), {{0, one, other}, {one, other, 0}, {other, 0, one}});
        }
    }
    const auto is_edge = [](const mesh::Point& a, const mesh::Point& b) {
        return std::abs(std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]) - 2) < 1e-9;
    };
    Soup soup;
    for (std::size_t i = 0; i < 12; ++i) {
        for (std::size_t j = i + 1; j < 12; ++j) {
            for (std::size_t k = j + 1; k < 12; ++k) {
                const auto &a = corners[i], &b = corners[j], &c = corners[k];
                if (!is_edge(a, b) || !is_edge(b, c) || !is_edge(c, a)) continue;
                const double turn = a[0] * (b[1] * c[2] - b[2] * c[1]) +
                                    a[1] * (b[2] * c[0] - b[0] * c[2]) +
                                    a[2] * (b[0] * c[1] - b[1] * c[0]);
                mesh_test::add(soup, a, turn > 0 ? b : c, turn > 0 ? c : b);
            }
        }
    }
    return soup;
}

}  // namespace

TEST_CASE("triangles that meet share their corners", "[mesh]") {
    const mesh::Triangles cube = mesh::weld(box({0, 0, 0}, {1, 2, 3}));
    CHECK(cube.points.size() == 8);
    CHECK(cube.corners.size() == 12);
    CHECK(mesh::open_edges(cube).count == 0);
    // Euler's polyhedron formula V − E + F = 2, with E = 3F/2 where all are triangles.
    const mesh::Triangles round = mesh::weld(ball(5, 12));
    CHECK(round.points.size() + round.corners.size() - round.corners.size() * 3 / 2 == 2);
    CHECK(mesh::open_edges(round).count == 0);
}

TEST_CASE("triangles without area are left out", "[mesh]") {
    Soup soup = box({0, 0, 0}, {1, 2, 3});
    mesh_test::add(soup, {0, 0, 0}, {1, 0, 0}, {2, 0, 0});
    mesh_test::add(soup, {4, 4, 4}, {4, 4, 4}, {5, 5, 5});
    CHECK(mesh::weld(soup).corners.size() == 12);
    CHECK(mesh::weld(soup).points.size() == 8);
    CHECK(mesh::weld({}).corners.empty());
}

TEST_CASE("zero has no sign", "[mesh]") {
    Soup soup = box({0, 0, 0}, {1, 2, 3});
    for (std::size_t i = 0; i < soup.size(); i += 2) {
        for (double& value : soup[i]) value = value == 0 ? -0.0 : value;
    }
    CHECK(mesh::weld(soup).points.size() == 8);
}

TEST_CASE("a hole is told by its rim", "[mesh]") {
    Soup soup = box({0, 0, 0}, {3, 4, 5});
    soup.erase(soup.begin(), soup.begin() + 6);  // the bottom, 3 by 4
    const mesh::OpenEdges open = mesh::open_edges(mesh::weld(soup));
    CHECK(open.count == 4);
    CHECK(open.length_mm == Approx(14));
}

TEST_CASE("a triangle that faces the other way opens the surface", "[mesh]") {
    Soup soup = box({0, 0, 0}, {3, 4, 5});
    std::swap(soup[1], soup[2]);
    CHECK(mesh::open_edges(mesh::weld(soup)).count == 3);
}

TEST_CASE("the volume of textbook solids", "[mesh]") {
    CHECK(mesh::volume_mm3(mesh::weld(box({7, -3, 2}, {2, 3, 4}))) == Approx(24));
    // Regular icosahedron of edge a: V = 5/12 · (3 + √5) · a³ (any book of solid geometry).
    const mesh::Triangles regular = mesh::weld(icosahedron());
    CHECK(regular.corners.size() == 20);
    CHECK(mesh::volume_mm3(regular) == Approx(5.0 / 12 * (3 + std::sqrt(5.0)) * 8));
    // Sphere: 4/3·π·r³; inscribed triangles lack a share that falls with the square of their size.
    const double coarse = mesh::volume_mm3(mesh::weld(ball(3, 50)));
    const double fine = mesh::volume_mm3(mesh::weld(ball(3, 100)));
    const double exact = 4.0 / 3 * std::numbers::pi * 27;
    CHECK(exact - fine > 0);
    CHECK((exact - coarse) / (exact - fine) == Approx(4).epsilon(0.01));
    mesh::Triangles turned = regular;
    mesh::turn_inside_out(turned);
    CHECK(mesh::volume_mm3(turned) == Approx(-mesh::volume_mm3(regular)));
    CHECK(mesh::open_edges(turned).count == 0);
}

TEST_CASE("copies of a triangle are one", "[mesh]") {
    const Soup once = box({0, 0, 0}, {2, 3, 4});
    Soup often;
    for (int i = 0; i < 50; ++i) {
        // The same triangle begins at another of its corners each time.
        for (std::size_t at = 0; at < once.size(); at += 3)
            for (std::size_t k = 0; k < 3; ++k)
                often.push_back(once[at + (k + static_cast<std::size_t>(i)) % 3]);
    }
    const mesh::Triangles triangles = mesh::weld(often);
    CHECK(triangles.corners.size() == 12);
    CHECK(mesh::volume_mm3(triangles) == Approx(24));
    CHECK(mesh::open_edges(triangles).count == 0);
    // A wall without thickness has two sides; what faces one way more often does so.
    const Soup wall = {{0, 0, 0}, {1, 0, 0}, {0, 1, 0}, {0, 1, 0}, {1, 0, 0}, {0, 0, 0}};
    CHECK(mesh::weld(wall).corners.size() == 2);
    Soup more = wall;
    more.insert(more.end(), wall.begin(), wall.begin() + 3);
    CHECK(mesh::weld(more).corners.size() == 1);
}

TEST_CASE("triangles that reach across each other are told from a fine mesh", "[mesh]") {
    CHECK(mesh::mean_looks(mesh::weld(ball(10, 200))) < mesh::most_looks / 10);
    Soup slivers;
    for (int i = 0; i < 20000; ++i) {
        const double z = i * 1e-4;
        slivers.insert(slivers.end(), {{-5, -5, z}, {5, 5, z}, {5, 5.0001, z + 1e-4}});
    }
    CHECK(mesh::mean_looks(mesh::weld(slivers)) > mesh::most_looks);
}

}  // namespace durograde
