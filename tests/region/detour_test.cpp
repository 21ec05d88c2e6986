#include "region/detour.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "random.hpp"

/// Ways that stay over beads, against shortest ways worked out on paper.
namespace durograde {
namespace {

using program::Point;
using region::Cover;

constexpr double bead = 0.45;

void add(program::Span& span, const std::vector<Point>& corners) {
    program::Stroke stroke;
    stroke.start = corners.front();
    stroke.first_segment = static_cast<std::uint32_t>(span.segments.size());
    for (std::size_t i = 1; i < corners.size(); ++i) {
        program::Segment segment;
        segment.x = corners[i].x;
        segment.y = corners[i].y;
        span.segments.push_back(segment);
    }
    stroke.last_segment = static_cast<std::uint32_t>(span.segments.size());
    span.strokes.push_back(stroke);
}

/// Lines 0.4 mm apart that fill x0 to x1, y0 to y1.
void fill(program::Span& span, double x0, double y0, double x1, double y1) {
    const int lines = static_cast<int>((y1 - y0) / 0.4);
    for (int i = 0; i <= lines; ++i) add(span, {{x0, y0 + 0.4 * i, 0}, {x1, y0 + 0.4 * i, 0}});
}

Cover cover_of(const program::Span& span) {
    static const region::Footprint no_parts = [] {
        region::Footprint empty({0, 100}, {0, 100});
        empty.find_islands();
        return empty;
    }();
    Cover cover;
    cover.paint(span, bead, no_parts);
    return cover;
}

/// Two legs of 4 mm by 20 mm, 10 mm apart, joined at the bottom by 4 mm.
program::Span horseshoe() {
    program::Span span;
    fill(span, 10, 10, 28, 14);
    fill(span, 10, 14, 14, 30);
    fill(span, 24, 14, 28, 30);
    return span;
}

double length_of(const std::vector<Point>& way) {
    double length = 0.0;
    for (std::size_t i = 1; i < way.size(); ++i) length += distance_xy(way[i - 1], way[i]);
    return length;
}

}  // namespace

TEST_CASE("a way goes round a gap where the beads lead", "[region]") {
    const program::Span span = horseshoe();
    const Cover cover = cover_of(span);
    const Point from{12, 20, 0}, to{26, 20, 0};
    const std::vector<Point> way = region::way_over_beads(cover, from, to, 30.0);
    REQUIRE(way.size() >= 3);
    CHECK(way.front() == from);
    CHECK(way.back() == to);
    // Tight round the two inner corners at (14, 14) and (24, 14).
    const double shortest_mm = 2 * std::hypot(2, 6) + 10;
    CHECK(length_of(way) >= shortest_mm - 2 * bead);
    CHECK(length_of(way) <= shortest_mm * 1.05);
    CHECK(cover.open_air(way).total_mm == 0.0);
    // Straight across, it is 10 mm of open air less a bead.
    CHECK(cover.open_air(from, to).total_mm == Approx(10.0 - bead).margin(0.5));
    CHECK(region::way_over_beads(cover, from, to, shortest_mm * 0.97).empty());
}

TEST_CASE("no way leads from one part to another", "[region]") {
    program::Span span;
    fill(span, 10, 10, 14, 14);
    fill(span, 16, 10, 20, 14);
    CHECK(region::way_over_beads(cover_of(span), {12, 12, 0}, {18, 12, 0}, 40.0).empty());
}

TEST_CASE("a way over beads is one wherever it is found", "[region]") {
    int found = 0;
    for (std::uint64_t seed = 0; seed < 300; ++seed) {
        sheets::Random random(seed);
        program::Span span;
        const auto any = [&] { return 10.0 + random.between(0, 200) * 0.1; };
        for (int i = 0; i < 6; ++i) {
            const double x = any(), y = any();
            fill(span, x, y, x + random.between(1, 80) * 0.1, y + random.between(1, 80) * 0.1);
        }
        const Cover cover = cover_of(span);
        const Point from = span.strokes.front().start, to = span.strokes.back().start;
        const double most_mm = distance_xy(from, to) + 10.0;
        const std::vector<Point> way = region::way_over_beads(cover, from, to, most_mm);
        if (way.empty()) continue;
        ++found;
        CAPTURE(seed);
        CHECK(length_of(way) <= most_mm + 0.3);
        CHECK(length_of(way) >= distance_xy(from, to) - 1e-9);
        CHECK(cover.open_air(way).longest_mm <= 0.2);
    }
    CHECK(found > 50);
}

TEST_CASE("a way hits what is printed by now, but not the beads that it leads from and to",
          "[region]") {
    program::Span span;
    for (const double y : {10.0, 20.0, 30.0}) add(span, {{10, y, 0}, {40, y, 0}});
    Cover cover = cover_of(span);
    const Point from{20, 10, 0}, to{20, 30, 0};
    CHECK_FALSE(cover.hits(from, to));
    cover.print({10, 10, 0}, {40, 10, 0});
    cover.print({10, 30, 0}, {40, 30, 0});
    CHECK_FALSE(cover.hits(from, to));
    cover.print({10, 20, 0}, {18, 20, 0});
    CHECK_FALSE(cover.hits(from, to));
    cover.print({18, 20, 0}, {40, 20, 0});
    CHECK(cover.hits(from, to));
}

TEST_CASE("the room around a place reaches to the nearest open air", "[region]") {
    program::Span span;
    fill(span, 10, 10, 30, 20);
    const Cover cover = cover_of(span);
    for (const double away_mm : {0.6, 1.0, 2.4, 4.0}) {
        // To the edge of the last bead, give or take a cell.
        CHECK(cover.room_mm({10 + away_mm, 15, 0}, 8.0) == Approx(away_mm + bead / 2).margin(0.35));
    }
    CHECK(cover.room_mm({20, 15, 0}, 3.0) == 3.0);
    CHECK(cover.room_mm({5, 5, 0}, 3.0) == 0.0);
}

}  // namespace durograde
