#include "grade/part_path.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "grade/tour.hpp"
#include "random.hpp"
#include "tours.hpp"

/// The way through one part: infill by a short way, walls in their order.
namespace durograde {
namespace {

using grade::Piece;
using program::Point;
using Indices = std::vector<std::uint32_t>;

/// Strokes of straight lines, each a piece of its own.
struct Part {
    void add(const std::vector<Point>& corners, double feed_mm_min = 1200) {
        program::Stroke stroke;
        stroke.start = corners.front();
        stroke.first_segment = static_cast<std::uint32_t>(span.segments.size());
        double length = 0.0;
        for (std::size_t i = 1; i < corners.size(); ++i) {
            program::Segment segment;
            segment.x = corners[i].x;
            segment.y = corners[i].y;
            segment.z = corners[i].z;
            segment.feed_mm_min = feed_mm_min;
            length += distance(corners[i - 1], corners[i]);
            span.segments.push_back(segment);
        }
        stroke.last_segment = static_cast<std::uint32_t>(span.segments.size());
        Piece piece;
        piece.stroke = static_cast<std::uint32_t>(span.strokes.size());
        piece.begin = {stroke.first_segment, 0.0, corners.front()};
        piece.end = {stroke.last_segment - 1, 1.0, corners.back()};
        piece.length_mm = length;
        piece.part = 0;
        list.push_back(piece.stroke);
        span.strokes.push_back(stroke);
        pieces.push_back(piece);
    }
    void shorten(const Point& from, bool reverse) {
        shorten_path(span, pieces, list, from, {true, reverse, nullptr});
    }
    [[nodiscard]] double way_mm(Point at) const {
        double way = 0.0;
        for (const std::uint32_t index : list) {
            way += distance_xy(at, pieces[index].entry());
            at = pieces[index].exit();
        }
        return way;
    }

    program::Span span;
    std::vector<Piece> pieces;
    Indices list;
};

std::vector<Point> square(double x, double y, double side) {
    return {{x, y, 0}, {x + side, y, 0}, {x + side, y + side, 0}, {x, y + side, 0}, {x, y, 0}};
}

}  // namespace

TEST_CASE("lines of infill are toured, walls keep their places", "[order]") {
    Part part;
    part.add(square(0, 0, 20));
    part.add(square(1, 1, 18));
    for (const double x : {2.0, 14.0, 6.0, 10.0}) part.add({{x, 2, 0}, {x, 18, 0}});
    part.add(square(5, 5, 3));
    part.shorten({0, 0, 0}, false);
    CHECK(part.list == Indices{0, 1, 2, 4, 5, 3, 6});
    for (const Piece& piece : part.pieces) CHECK_FALSE(piece.reversed);
}

TEST_CASE("what is printed otherwise is not mixed with infill", "[order]") {
    Part part;
    for (const double x : {2.0, 14.0}) part.add({{x, 2, 0}, {x, 18, 0}}, 1200);
    for (const double x : {2.5, 14.5}) part.add({{x, 2, 0}, {x, 18, 0}}, 2400);
    part.shorten({0, 0, 0}, false);
    const Indices list = part.list;
    CHECK(std::max(list[0], list[1]) == 1);
}

TEST_CASE("a stroke that does not quite close is a wall", "[order]") {
    Part part;
    std::vector<Point> ring = square(30, 0, 10);
    ring.back().y += 0.2;
    part.add(ring);
    part.add(square(0, 0, 10));
    part.shorten({0, 0, 0}, false);
    CHECK(part.list == Indices{0, 1});
}

TEST_CASE("infill is printed to and fro, and a loop begun where it is near, where that is allowed",
          "[order]") {
    Part part;
    for (const double x : {0.0, 1.0, 2.0}) part.add({{x, 0, 0}, {x, 20, 0}});
    part.add(square(12, 0, 8));
    part.shorten({0, 0, 0}, true);
    CHECK(part.pieces[1].reversed);
    CHECK_FALSE(part.pieces[0].reversed);
    CHECK_FALSE(part.pieces[2].reversed);
    // The loop is two pieces now, begun at its corner (12, 8), and no bead is lost.
    REQUIRE(part.list.size() == 5);
    const Piece &first = part.pieces[part.list[3]], &second = part.pieces[part.list[4]];
    CHECK(distance(first.entry(), {12, 8, 0}) < 1e-12);
    CHECK(distance(first.exit(), second.entry()) < 1e-12);
    CHECK(distance(second.exit(), first.entry()) < 1e-12);
    CHECK(first.length_mm + second.length_mm == Approx(32.0));
    CHECK(second.begin.segment + 3 == first.begin.segment);
    CHECK(part.way_mm({0, 0, 0}) == Approx(1 + 1 + std::hypot(10, 12)));
}

TEST_CASE("no way through infill is longer than that of the input, and no bead is lost",
          "[order]") {
    for (std::uint64_t seed = 0; seed < 400; ++seed) {
        sheets::Random random(seed);
        Part part;
        const auto any = [&] { return random.between(0, 40) * 1.0; };
        const bool has_walls = random.chance(50);
        const int count = random.between(1, has_walls ? 70 : 48);
        for (int i = 0; i < count; ++i) {
            if (has_walls && random.chance(20)) {
                part.add(square(any(), any(), 1.0 + any()));
            } else {
                part.add({{any(), any(), 0}, {any(), any() + 0.5, 0}});
            }
        }
        const double given_mm = part.way_mm({0, 0, 0});
        const bool reverse = random.chance(50);
        part.shorten({0, 0, 0}, reverse);
        CAPTURE(seed, reverse);
        if (!has_walls) CHECK(part.way_mm({0, 0, 0}) <= given_mm + 1e-9);
        std::vector<int> printed(part.span.segments.size());
        for (const std::uint32_t index : part.list) {
            const Piece& piece = part.pieces[index];
            for (std::uint32_t i = piece.begin.segment; i <= piece.end.segment; ++i) ++printed[i];
        }
        CHECK(std::all_of(printed.begin(), printed.end(), [](int times) { return times == 1; }));
    }
}

}  // namespace durograde
