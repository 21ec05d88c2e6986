#include "region/cover.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "random_fields.hpp"

/// Open air of travels over known shapes, by intervals worked out on paper.
namespace durograde {
namespace {

using program::Point;
using region::Cover;

constexpr double bead = 0.45;
constexpr double grid = 0.2;  // mm, of the cover

struct Rectangle {
    double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};

/// A stroke back and forth that fills a rectangle; its bead lies half a width within the edges.
void fill(program::Span& span, const Rectangle& r, double spacing = 0.4) {
    program::Stroke stroke;
    stroke.first_segment = static_cast<std::uint32_t>(span.segments.size());
    const double inset = bead / 2;
    stroke.start = {r.x0 + inset, r.y0 + inset, 0};
    const auto to = [&](double x, double y) {
        program::Segment segment;
        segment.x = x;
        segment.y = y;
        span.segments.push_back(segment);
    };
    bool right = true;
    for (double y = r.y0 + inset; y <= r.y1 - inset + 1e-9; y += spacing, right = !right) {
        to(right ? r.x0 + inset : r.x1 - inset, y);
        to(right ? r.x1 - inset : r.x0 + inset, y);
    }
    stroke.last_segment = static_cast<std::uint32_t>(span.segments.size());
    span.strokes.push_back(stroke);
}

/// A bed without parts.
const region::Footprint& no_parts() {
    static const region::Footprint footprint = [] {
        region::Footprint empty({0, 100}, {0, 100});
        empty.find_islands();
        return empty;
    }();
    return footprint;
}

Cover cover_of(const std::vector<Rectangle>& rectangles, double spacing = 0.4,
               const region::Footprint& footprint = no_parts()) {
    program::Span span;
    for (const Rectangle& r : rectangles) fill(span, r, spacing);
    Cover cover;
    cover.paint(span, bead, footprint);
    return cover;
}

/// Rims of rectangles, two layers high, each a part.
region::Footprint parts_of(const std::vector<Rectangle>& rectangles) {
    constexpr double layer_mm = 0.2, inset = bead / 2;
    region::Footprint footprint({0, 100}, {0, 100});
    for (const double above : {0.0, layer_mm}) {
        footprint.begin_layer(above);
        for (const Rectangle& r : rectangles) {
            const Point a{r.x0 + inset, r.y0 + inset, 0}, b{r.x1 - inset, r.y0 + inset, 0};
            const Point c{r.x1 - inset, r.y1 - inset, 0}, d{r.x0 + inset, r.y1 - inset, 0};
            footprint.paint(a, b, distance_xy(a, b) * bead * layer_mm);
            footprint.paint(b, c, distance_xy(b, c) * bead * layer_mm);
            footprint.paint(c, d, distance_xy(c, d) * bead * layer_mm);
            footprint.paint(d, a, distance_xy(d, a) * bead * layer_mm);
        }
    }
    footprint.find_islands();
    REQUIRE(footprint.islands().size() == rectangles.size());
    for (std::size_t i = 0; i < rectangles.size(); ++i) {
        const Rectangle& r = rectangles[i];
        footprint.name_part(footprint.island_at((r.x0 + r.x1) / 2, (r.y0 + r.y1) / 2),
                            static_cast<int>(i));
    }
    return footprint;
}

double longest(const Cover& cover, const std::vector<Point>& path) {
    return cover.open_air(path).longest_mm;
}

/// The longest stretch of a straight way that lies in none of the rectangles, each grown by `grow`.
double exact_longest(const std::vector<Rectangle>& rectangles, const Point& a, const Point& b,
                     double grow) {
    std::vector<std::pair<double, double>> over = {{0, 0}, {1, 1}};
    for (const Rectangle& r : rectangles) {
        double begin = 0, end = 1;
        const auto clip = [&](double from, double by, double low, double high) {
            if (std::abs(by) < 1e-12) {
                if (from < low || from > high) end = -1;
                return;
            }
            const double t0 = (low - from) / by, t1 = (high - from) / by;
            begin = std::max(begin, std::min(t0, t1));
            end = std::min(end, std::max(t0, t1));
        };
        clip(a.x, b.x - a.x, r.x0 - grow, r.x1 + grow);
        clip(a.y, b.y - a.y, r.y0 - grow, r.y1 + grow);
        if (begin < end) over.emplace_back(begin, end);
    }
    std::sort(over.begin(), over.end());
    double reached = 0, longest = 0;
    for (const auto& [begin, end] : over) {
        longest = std::max(longest, begin - reached);
        reached = std::max(reached, end);
    }
    return longest * distance_xy(a, b);
}

}  // namespace

TEST_CASE("a way from pad to pad crosses the gap between them", "[region]") {
    const Cover cover = cover_of({{0, 0, 10, 10}, {20, 0, 30, 10}});
    // Edges are known to a cell and a half on either side.
    CHECK(longest(cover, {{5, 5, 0}, {25, 5, 0}}) == Approx(10).margin(3 * grid));
    CHECK(longest(cover, {{5, 5, 0}, {9, 9, 0}}) == 0);
    CHECK(longest(cover, {{1, 1, 0}, {9, 1, 0}, {9, 9, 0}}) == 0);
    const region::OpenAir straight = cover.open_air({5, 5, 0}, {25, 5, 0});
    CHECK(straight.longest_mm == Approx(10).margin(3 * grid));
    CHECK(straight.total_mm == Approx(straight.longest_mm).epsilon(1e-12));
}

TEST_CASE("the longest single stretch counts, across corners of the way too", "[region]") {
    const Cover cover = cover_of({{0, 0, 10, 10}, {14, 0, 24, 10}, {30, 0, 40, 10}});
    const region::OpenAir both = cover.open_air({5, 5, 0}, {35, 5, 0});
    CHECK(both.longest_mm == Approx(6).margin(3 * grid));
    CHECK(both.total_mm == Approx(10).margin(6 * grid));
    // Up and out of the first pad, over, and down into the last: 10 + 30 + 10 less what covers.
    CHECK(longest(cover, {{5, 5, 0}, {5, 20, 0}, {35, 20, 0}, {35, 5, 0}}) ==
          Approx(50).margin(3 * grid));
}

TEST_CASE("gaps narrower than three beads are no open air inside one part", "[region]") {
    const std::vector<Rectangle> one = {{10, 10, 30, 30}};
    const region::Footprint part = parts_of(one);
    const Cover sparse = cover_of(one, 2.5 * bead, part);
    for (double x = 10.1; x < 30; x += 0.1) {
        CAPTURE(x);
        CHECK(longest(sparse, {{x, 10.1, 0}, {x, 29.9, 0}}) == 0);
    }
    const Cover sparser = cover_of(one, 6 * bead, part);
    CHECK(longest(sparser, {{20, 11, 0}, {20, 29, 0}}) == Approx(5 * bead).margin(3 * grid));
}

TEST_CASE("between two parts, or beside them, narrow gaps are open air too", "[region]") {
    const std::vector<Rectangle> two = {{10, 10, 20, 20}, {20 + 2 * bead, 10, 30, 20}};
    const region::Footprint parts = parts_of(two);
    const Cover apart = cover_of(two, 0.4, parts);
    for (double y = 10.3; y < 19.6; y += 0.1) {
        CAPTURE(y);
        CHECK(longest(apart, {{15, y, 0}, {25, y, 0}}) == Approx(2 * bead).margin(3 * grid));
    }
    std::vector<Rectangle> with_skirt = two;
    with_skirt.push_back({30 + 2 * bead, 10, 31 + 3 * bead, 20});  // of no part
    const Cover beside = cover_of(with_skirt, 0.4, parts);
    CHECK(longest(beside, {{25, 15, 0}, {31.5, 15, 0}}) == Approx(2 * bead).margin(3 * grid));
}

TEST_CASE("what the grid hides of a way that crosses beads at a flat angle is told", "[region]") {
    REQUIRE(rc::check("no shorter than on paper", [](std::uint64_t seed) {
        sheets::Random random(seed);
        // Two lines 2 mm apart, turned anyhow, and a way from one over the other.
        const double turn = random.between(0, 628) * 1e-2;
        const double flat = random.between(15, 90) * 3.14159265 / 180;
        const auto turned = [&](double x, double y) {
            return Point{50 + x * std::cos(turn) - y * std::sin(turn),
                         50 + x * std::sin(turn) + y * std::cos(turn), 0};
        };
        program::Span span;
        for (const double y : {0.0, 2.0}) {
            program::Stroke line;
            line.first_segment = static_cast<std::uint32_t>(span.segments.size());
            line.start = turned(-20, y);
            program::Segment segment;
            segment.x = turned(20, y).x;
            segment.y = turned(20, y).y;
            span.segments.push_back(segment);
            line.last_segment = line.first_segment + 1;
            span.strokes.push_back(line);
        }
        Cover cover;
        cover.paint(span, bead, no_parts());
        const double half_mm = 1.5 / std::tan(flat);
        const std::vector<Point> way = {turned(-half_mm, -0.5), turned(half_mm, 2.5)};
        const double exact = (2.0 - bead) / std::sin(flat);
        RC_ASSERT(cover.longest_mm(way) + Cover::slack_mm >= exact);
        // Nor farther than across the cells that the centre lines lie in.
        const double most = exact + (bead + 2 * std::sqrt(2.0) * grid) / std::sin(flat) + grid;
        RC_ASSERT(cover.longest_mm(way) <= most);
    }));
}

TEST_CASE("far from all beads everything is open air", "[region]") {
    const Cover cover = cover_of({{0, 0, 10, 10}});
    CHECK(longest(cover, {{50, 50, 0}, {80, 50, 0}}) == Approx(30).epsilon(1e-9));
    CHECK(longest(cover, {{-40, 5, 0}, {-20, 5, 0}}) == Approx(20).epsilon(1e-9));
    CHECK(longest(cover, {{5, 5, 0}}) == 0);
    CHECK(longest(cover, {{50, 50, 0}, {50, 50, 0}}) == 0);
    CHECK(longest(cover_of({}), {{0, 0, 0}, {7, 0, 0}}) == Approx(7).epsilon(1e-9));
}

TEST_CASE("beads along arcs cover as well", "[region]") {
    const auto maker = region_test::StrokeMaker({30, 20, 0}).arc(20, 20, 180);
    Cover cover;
    cover.paint(maker.span(), bead, no_parts());
    std::vector<Point> along_it, within;
    for (int i = 0; i <= 64; ++i) {
        const double angle = 3.14159 * i / 64;
        along_it.push_back({20 + 10 * std::cos(angle), 20 + 10 * std::sin(angle), 0});
        within.push_back({20 + 8 * std::cos(angle), 20 + 8 * std::sin(angle), 0});
    }
    CHECK(longest(cover, along_it) == 0);
    CHECK(longest(cover, within) == Approx(8 * 3.14159).epsilon(0.01));
}

TEST_CASE("beads along wide arcs cover as well", "[region]") {
    const auto maker = region_test::StrokeMaker({60, 20, 0}).arc(20, 20, 360);
    Cover cover;
    cover.paint(maker.span(), bead, no_parts());
    std::vector<Point> along_it;
    for (int i = 0; i <= 720; ++i) {
        const double angle = 2 * 3.14159 * i / 720;
        along_it.push_back({20 + 40 * std::cos(angle), 20 + 40 * std::sin(angle), 0});
    }
    CHECK(longest(cover, along_it) == 0);
}

// What fits arcs to a path makes nearly straight ones of hundreds of metres: only the part that is
// printed may count, not the circle.
TEST_CASE("a nearly straight arc needs no more room than its ends", "[region]") {
    const double radius = 5e5, sweep_deg = 20 / radius * 180 / 3.14159265358979;
    const auto maker = region_test::StrokeMaker({0, 0, 0}).arc(0, -radius, -sweep_deg);
    Cover cover;
    cover.paint(maker.span(), bead, no_parts());
    CHECK(longest(cover, {{1, 0, 0}, {19, 0, 0}}) == 0);
    CHECK(longest(cover, {{1, 5, 0}, {19, 5, 0}}) == Approx(18).epsilon(1e-9));
}

TEST_CASE("a bead covers half its width to either side, wherever the grid's words end",
          "[region]") {
    for (int i = 0; i < 100; ++i) {
        const double x = 8 + i * 0.1;
        CAPTURE(x);
        Cover cover;
        program::Span span;
        fill(span, {0, 0, 1, 1});  // where the grid begins
        program::Stroke line;
        line.first_segment = static_cast<std::uint32_t>(span.segments.size());
        line.start = {x, 0, 0};
        program::Segment segment;
        segment.x = x;
        segment.y = 20;
        span.segments.push_back(segment);
        line.last_segment = line.first_segment + 1;
        span.strokes.push_back(line);
        cover.paint(span, bead, no_parts());
        for (const double beside : {-0.19, 0.0, 0.19}) {
            CHECK(longest(cover, {{x + beside, 1, 0}, {x + beside, 19, 0}}) == 0);
        }
        for (const double beside : {-0.85, 0.85}) {
            CHECK(longest(cover, {{x + beside, 1, 0}, {x + beside, 19, 0}}) ==
                  Approx(18).epsilon(1e-9));
        }
    }
}

TEST_CASE("a cover painted anew holds nothing of the last one", "[region]") {
    Cover cover = cover_of({{0, 0, 20, 20}});
    CHECK(longest(cover, {{2, 10, 0}, {18, 10, 0}}) == 0);
    program::Span corners;
    fill(corners, {0, 0, 1, 1});
    fill(corners, {19, 19, 20, 20});
    cover.paint(corners, bead, no_parts());
    CHECK(longest(cover, {{2, 10, 0}, {18, 10, 0}}) == Approx(16).epsilon(1e-9));
}

TEST_CASE("open air agrees with intervals on paper", "[region]") {
    REQUIRE(rc::check("between pads of a little more and a little less", [](std::uint64_t seed) {
        sheets::Random random(seed);
        std::vector<Rectangle> rectangles;
        const int count = random.between(1, 6);
        const auto any = [&](int most) { return random.between(0, most * 1000) * 1e-3; };
        for (int i = 0; i < count; ++i) {
            const double x = any(60), y = any(60);
            rectangles.push_back({x, y, x + 2 + any(15), y + 2 + any(15)});
        }
        const Cover cover = cover_of(rectangles);
        for (int i = 0; i < 20; ++i) {
            const Point a{any(75), any(75), 0}, b{any(75), any(75), 0};
            const double found = cover.open_air(a, b).longest_mm;
            // The last row of a filling may lie up to its spacing within the edge.
            const double least = exact_longest(rectangles, a, b, 1.5 * grid) - grid;
            const double most = exact_longest(rectangles, a, b, -0.4 - 1.5 * grid) + grid;
            RC_LOG() << least << " <= " << found << " <= " << most << '\n';
            RC_ASSERT((found == 0 || found >= least));
            RC_ASSERT((found > 0 || least < 3 * bead));
            RC_ASSERT(found <= most);
        }
    }));
}

}  // namespace durograde
