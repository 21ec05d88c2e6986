#include "mesh/nearest.hpp"

#include <gts.h>
#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "solids.hpp"

/// The nearest triangle: against every triangle looked at, and against the GNU Triangulated Surface
/// library (libgts 0.7.6).
namespace durograde {
namespace {

using mesh::Point;

double apart(const Point& a, const Point& b) {
    return std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

double looked_at_all(const mesh::Triangles& triangles, const Point& point) {
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < triangles.corners.size(); ++i)
        nearest = std::min(nearest, apart(mesh::nearest_on(triangles.triangle(i), point), point));
    return nearest;
}

/// A surface and its tree of boxes in the other library.
class OtherSurface {
  public:
    explicit OtherSurface(const mesh::Triangles& triangles)
        : surface_(gts_surface_new(gts_surface_class(), gts_face_class(), gts_edge_class(),
                                   gts_vertex_class())) {
        for (std::size_t i = 0; i < triangles.corners.size(); ++i) {
            GtsVertex* corner[3];
            const auto points = triangles.triangle(i);
            for (std::size_t j = 0; j < 3; ++j)
                corner[j] =
                    gts_vertex_new(gts_vertex_class(), points[j][0], points[j][1], points[j][2]);
            GtsEdge* edge[3];
            for (std::size_t j = 0; j < 3; ++j)
                edge[j] = gts_edge_new(gts_edge_class(), corner[j], corner[(j + 1) % 3]);
            gts_surface_add_face(surface_,
                                 gts_face_new(gts_face_class(), edge[0], edge[1], edge[2]));
        }
        tree_ = gts_bb_tree_surface(surface_);
    }
    ~OtherSurface() {
        gts_bb_tree_destroy(tree_, TRUE);
        gts_object_destroy(GTS_OBJECT(surface_));
    }
    OtherSurface(const OtherSurface&) = delete;
    OtherSurface& operator=(const OtherSurface&) = delete;

    [[nodiscard]] double distance_mm(const Point& point) const {
        GtsPoint* const at = gts_point_new(gts_point_class(), point[0], point[1], point[2]);
        const auto to_triangle = [](GtsPoint* p, gpointer face) {
            return gts_point_triangle_distance(p, GTS_TRIANGLE(face));
        };
        const double found = gts_bb_tree_point_distance(tree_, at, to_triangle, nullptr);
        gts_object_destroy(GTS_OBJECT(at));
        return found;
    }

  private:
    GtsSurface* surface_;
    GNode* tree_;
};

}  // namespace

TEST_CASE("the nearest point of a triangle lies on a corner, an edge or the face", "[mesh]") {
    const std::array<Point, 3> triangle = {{{0, 0, 0}, {4, 0, 0}, {0, 4, 0}}};
    const auto nearest = [&](const Point& point) { return mesh::nearest_on(triangle, point); };
    CHECK(nearest({1, 1, 5}) == Point{1, 1, 0});
    CHECK(nearest({-1, -2, 3}) == Point{0, 0, 0});
    CHECK(nearest({9, -1, 3}) == Point{4, 0, 0});
    CHECK(nearest({-1, 9, 3}) == Point{0, 4, 0});
    CHECK(nearest({2, -3, 1}) == Point{2, 0, 0});
    CHECK(nearest({-3, 2, 1}) == Point{0, 2, 0});
    CHECK(nearest({4, 4, 1}) == Point{2, 2, 0});
}

TEST_CASE("no triangle is missed", "[mesh]") {
    REQUIRE(rc::check("against all triangles", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const mesh::Triangles triangles =
            mesh::weld(mesh_test::random_soup(random, random.between(1, 300)));
        const mesh::Nearest nearest(triangles);
        for (int i = 0; i < 20; ++i) {
            const Point point = mesh_test::random_point(random, random.chance(20) ? 400 : 15);
            RC_ASSERT(std::abs(nearest.distance_mm(point) - looked_at_all(triangles, point)) <
                      1e-12);
        }
    }));
}

TEST_CASE("distances are those of another library", "[mesh]") {
    // On surfaces whose triangles are not obtuse: on others that library gives edges that are not
    // the nearest ones.
    sheets::Random random(11);
    for (const auto& soup : {mesh_test::ball(7, 40), mesh_test::box({-3, 1, 2}, {8, 4, 9})}) {
        const mesh::Triangles triangles = mesh::weld(soup);
        const mesh::Nearest nearest(triangles);
        const OtherSurface other(triangles);
        for (int i = 0; i < 1000; ++i) {
            const Point point = mesh_test::random_point(random, 20);
            CHECK(nearest.distance_mm(point) == Approx(other.distance_mm(point)).margin(1e-9));
        }
    }
}

}  // namespace durograde
