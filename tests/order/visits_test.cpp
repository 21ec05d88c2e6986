#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "grade/order.hpp"
#include "grade/sequence.hpp"
#include "random.hpp"

/// Pieces put into visits: a visit a station, each part's own order kept.
namespace durograde {
namespace {

using grade::Piece;
using grade::Stations;
using grade::Visit;
using program::Point;

/// A layer of whole strokes; every piece begins and ends where it is told.
struct Layer {
    Layer() {
        for (int tool = 0; tool < 4; ++tool) stations.number({tool, 190.0 + 10 * tool, 1.0});
        plan.order = plan::Order{};
        plan.order->short_strokes = false;
    }
    void add(int station, int part, Point begin = {}, Point end = {}) {
        program::Stroke stroke;
        stroke.start = begin;
        stroke.first_segment = static_cast<std::uint32_t>(span.segments.size());
        stroke.last_segment = stroke.first_segment + 1;
        program::Segment segment;
        segment.x = end.x;
        segment.y = end.y;
        span.segments.push_back(segment);
        Piece piece;
        piece.stroke = static_cast<std::uint32_t>(span.strokes.size());
        piece.station = station;
        piece.part = part;
        piece.begin.point = begin;
        piece.end.point = end;
        span.strokes.push_back(stroke);
        pieces.push_back(piece);
    }
    [[nodiscard]] std::vector<Visit> visits(int ready, Point at = {}) {
        grade::Sequence sequence(plan);
        const std::vector<grade::Need> needs = {need_of(span, pieces, stations)};
        const std::vector<int> order =
            sequence.order(needs, stations, {ready, ready < 0 ? -1 : stations[ready].tool});
        return order_pieces(span, pieces, order, ready, at, cover, plan);
    }

    program::Span span;
    std::vector<Piece> pieces;
    Stations stations;
    plan::Plan plan;
    region::Cover cover;
};

std::vector<int> stations_of(const std::vector<Visit>& visits) {
    std::vector<int> stations;
    for (const Visit& visit : visits) stations.push_back(visit.station);
    return stations;
}

using Indices = std::vector<std::uint32_t>;

}  // namespace

TEST_CASE("a station is visited once, the ready one first", "[order]") {
    Layer layer;
    for (const int station : {2, 0, 1, 0, 2}) layer.add(station, 0);
    CHECK(stations_of(layer.visits(0)) == std::vector<int>{0, 1, 2});
    CHECK(stations_of(layer.visits(2)) == std::vector<int>{2, 1, 0});
    CHECK(stations_of(layer.visits(3)) == std::vector<int>{0, 1, 2});  // not needed here
    CHECK(stations_of(layer.visits(-1)) == std::vector<int>{0, 1, 2});
    CHECK(layer.visits(1).front().station == 1);
    CHECK(layer.visits(0)[0].pieces == Indices{1, 3});
    CHECK(layer.visits(0)[2].pieces == Indices{0, 4});
}

TEST_CASE("layers alternate, so that none begins with a swap", "[order]") {
    for (int tools = 2; tools <= 4; ++tools) {
        Layer layer;
        for (int station = 0; station < tools; ++station) layer.add(station, 0);
        int ready = 0;
        long swaps = 0;
        for (int i = 0; i < 10; ++i) {
            const auto visits = layer.visits(ready);
            swaps += static_cast<long>(visits.size()) - (visits.front().station == ready ? 1 : 0);
            ready = visits.back().station;
        }
        CHECK(swaps == 10 * (tools - 1));  // the fewest that there are
    }
}

TEST_CASE("parts are toured by a short way, their own order kept", "[order]") {
    Layer layer;
    // Three pads in a row, printed from the far one to the near one; two strokes each.
    for (const int part : {2, 0, 1}) {
        layer.add(0, part, {part * 50.0, 0, 0}, {part * 50.0 + 5, 0, 0});
        layer.add(0, part, {part * 50.0 + 6, 0, 0}, {part * 50.0 + 8, 0, 0});
    }
    CHECK(layer.visits(0)[0].pieces == Indices{2, 3, 4, 5, 0, 1});
    CHECK(layer.visits(0, {120, 0, 0})[0].pieces == Indices{0, 1, 4, 5, 2, 3});
    layer.plan.order->short_tour = false;
    CHECK(layer.visits(0)[0].pieces == Indices{0, 1, 2, 3, 4, 5});
    layer.plan.order.reset();
    CHECK(layer.visits(0)[0].pieces == Indices{0, 1, 2, 3, 4, 5});
}

TEST_CASE("what belongs to no part goes first", "[order]") {
    Layer layer;
    layer.add(0, 0, {1, 0, 0}, {2, 0, 0});
    layer.add(0, region::outside, {90, 0, 0}, {95, 0, 0});
    CHECK(layer.visits(0)[0].pieces == Indices{1, 0});
}

TEST_CASE("a spiral's order is the input's", "[order]") {
    Layer layer;
    for (const int station : {0, 1, 1, 0, 2}) layer.add(station, 0);
    layer.span.in_order = true;
    const auto visits = layer.visits(2);
    CHECK(stations_of(visits) == std::vector<int>{0, 1, 0, 2});
    CHECK(visits[1].pieces == Indices{1, 2});
}

TEST_CASE("the ends of a closed stroke join at its seam", "[order]") {
    Layer layer;
    layer.add(1, 0, {50, 0, 0}, {60, 0, 0});
    layer.add(0, 0, {10, 0, 0}, {0, 10, 0});   // first piece of a loop that begins at (10, 0)
    layer.add(1, 0, {0, 10, 0}, {0, -10, 0});  // its middle
    layer.add(0, 0, {0, -10, 0}, {10, 0, 0});  // its last piece, back at the begin
    layer.add(0, 0, {20, 0, 0}, {30, 0, 0});
    for (const std::size_t i : {2U, 3U}) layer.pieces[i].stroke = 1;
    layer.pieces[1].ends_stroke = false;
    layer.pieces[2].begins_stroke = layer.pieces[2].ends_stroke = false;
    layer.pieces[3].begins_stroke = false;
    const auto visits = layer.visits(0);
    CHECK(visits[0].pieces == Indices{3, 1, 4});
    CHECK(visits[1].pieces == Indices{0, 2});
    // An open stroke does not.
    layer.pieces[3].end.point = {10, 0.1, 0};
    CHECK(layer.visits(0)[0].pieces == Indices{1, 3, 4});
}

TEST_CASE("every piece is visited once and no part loses its order", "[order]") {
    REQUIRE(rc::check("random layers", [](std::uint64_t seed) {
        sheets::Random random(seed);
        Layer layer;
        const int count = random.between(1, 60);
        for (int i = 0; i < count; ++i) {
            const auto any = [&] { return random.between(0, 200) * 1.0; };
            layer.add(random.between(0, 3), random.between(-1, 5), {any(), any(), 0},
                      {any(), any(), 0});
        }
        const int ready = random.between(-1, 3);
        const auto visits = layer.visits(ready);
        Indices seen;
        std::vector<int> stations = stations_of(visits);
        for (const Visit& visit : visits) {
            std::map<int, std::uint32_t> last;  // by part
            for (const std::uint32_t index : visit.pieces) {
                const Piece& piece = layer.pieces[index];
                RC_ASSERT(piece.station == visit.station);
                const auto [entry, is_new] = last.try_emplace(piece.part, index);
                RC_ASSERT((is_new || index > entry->second));
                entry->second = index;
                seen.push_back(index);
            }
        }
        std::sort(seen.begin(), seen.end());
        for (std::uint32_t i = 0; i < seen.size(); ++i) RC_ASSERT(seen[i] == i);
        RC_ASSERT(seen.size() == layer.pieces.size());
        const bool needed = std::find(stations.begin(), stations.end(), ready) != stations.end();
        RC_ASSERT((!needed || stations.front() == ready));
        std::sort(stations.begin(), stations.end());
        RC_ASSERT(std::adjacent_find(stations.begin(), stations.end()) == stations.end());
    }));
}

TEST_CASE("after a swap, the stroke farthest from open air comes first where that is asked for",
          "[order]") {
    Layer layer;
    layer.plan.order->begins_inside = true;
    // A pad of 10 mm by 10 mm: its rim, and a line through its middle; the same beside it.
    for (const double x : {10.0, 40.0}) {
        const int part = x > 20 ? 1 : 0;
        layer.add(0, part, {x, 10, 0}, {x, 20, 0});
        for (int line = 0; line < 25; ++line)
            layer.add(1, part, {x + 0.4 * line, 10, 0}, {x + 0.4 * line, 20, 0});
        layer.add(1, part, {x + 5, 13, 0}, {x + 5, 17, 0});
    }
    const region::Footprint bed({0, 100}, {0, 100});
    layer.cover.paint(layer.span, 0.45, bed);
    const auto visits = layer.visits(0);
    REQUIRE(visits.size() == 2);
    CHECK(visits[0].pieces == Indices{0, 27});  // no swap before
    CHECK(visits[1].pieces.front() == 53);
    CHECK(visits[1].pieces[1] == 28);
    CHECK(visits[1].pieces[26] == 1);  // the next part as it was
}

}  // namespace durograde
