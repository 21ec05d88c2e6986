#include "check/coverage.hpp"

#include <rapidcheck.h>

#include "check/open_air.hpp"
#include "pair.hpp"
#include "random.hpp"

/// Coverage by cut beads, and open air, beside slow and plain ways to find the same.
namespace durograde::check_tests {
namespace {

using sheets::Random;

double rounded(double mm) {
    return std::round(mm * 1000) / 1000;
}

/// Random strokes of straight segments, some printed over others.
check::Layer random_layer(Random& random) {
    check::Layer layer;
    const int strokes = random.between(1, 6);
    for (int s = 0; s < strokes; ++s) {
        check::Stroke stroke;
        stroke.start = {random.between(0, 40000) * 0.001, random.between(0, 40000) * 0.001, 0.2};
        stroke.first = static_cast<std::uint32_t>(layer.segments.size());
        check::Point at = stroke.start;
        const int count = random.between(1, 12);
        for (int i = 0; i < count; ++i) {
            const bool back = i > 0 && random.chance(10);
            const check::Point to =
                back ? layer.start_of(static_cast<std::uint32_t>(layer.segments.size()) - 1)
                     : check::Point{random.between(0, 40000) * 0.001,
                                    random.between(0, 40000) * 0.001, 0.2};
            check::Segment segment;
            segment.to = to;
            segment.length_mm = check::distance(at, to);
            if (segment.length_mm < 0.05) continue;
            segment.e_mm = 0.05 * segment.length_mm;
            if (layer.segments.size() == stroke.first) layer.strokes.push_back(stroke);
            segment.stroke = static_cast<std::uint32_t>(layer.strokes.size()) - 1;
            layer.segments.push_back(segment);
            at = to;
        }
        if (layer.segments.size() > stroke.first) {
            layer.strokes.back().last = static_cast<std::uint32_t>(layer.segments.size());
        }
    }
    return layer;
}

check::Act bead(const check::Point& from, const check::Point& to, double e_mm) {
    check::Act act;
    act.kind = check::Kind::bead;
    act.from = from;
    act.to = to;
    act.length_mm = check::distance(from, to);
    act.e_mm = e_mm;
    return act;
}

/// Shares at which a segment crosses the lines x = 1.7 mm + k · pitch, as zones would cut it.
std::vector<double> crossings(const check::Point& from, const check::Point& to, double pitch_mm) {
    std::vector<double> shares;
    for (double x = 1.7; x < 40; x += pitch_mm) {
        const double share = (x - from.x) / (to.x - from.x);
        if (share > 0 && share < 1) shares.push_back(share);
    }
    std::sort(shares.begin(), shares.end());
    return shares;
}

/// The layer's beads, cut at lines and rounded to 1 µm there, the pieces in random order.
std::vector<check::Act> cut_and_shuffled(const check::Layer& layer, Random& random) {
    const double pitch_mm = random.between(5, 200) * 0.1;
    std::vector<std::vector<check::Act>> pieces;
    for (const check::Stroke& stroke : layer.strokes) {
        pieces.emplace_back();
        for (std::uint32_t i = stroke.first; i < stroke.last; ++i) {
            check::Point from = layer.start_of(i);
            const check::Segment& segment = layer.segments[i];
            double share = 0.0;
            for (const double next : crossings(layer.start_of(i), segment.to, pitch_mm)) {
                const check::Point cut = check::between(layer.start_of(i), segment.to, next);
                const check::Point to{rounded(cut.x), rounded(cut.y), cut.z};
                pieces.back().push_back(bead(from, to, segment.e_mm * (next - share)));
                pieces.emplace_back();
                from = to;
                share = next;
            }
            pieces.back().push_back(bead(from, segment.to, segment.e_mm * (1 - share)));
        }
    }
    for (std::size_t i = pieces.size(); i > 1; --i)
        std::swap(pieces[i - 1], pieces[random.next() % i]);
    std::vector<check::Act> beads;
    for (const auto& piece : pieces) beads.insert(beads.end(), piece.begin(), piece.end());
    return beads;
}

/// The same bead from its end to its begin.
check::Act turned(check::Act bead) {
    std::swap(bead.from, bead.to);
    bead.arc.begin_rad += bead.arc.sweep_rad;
    bead.arc.sweep_rad = -bead.arc.sweep_rad;
    return bead;
}

/// Whether the checker accepts these beads for the layer.
bool covers(check::Layer layer, const std::vector<check::Act>& beads, bool reverses = false) {
    check::Ledger ledger;
    check::Coverage coverage(layer, reverses, ledger);
    coverage.begin();
    coverage.open_span(0, static_cast<std::uint32_t>(layer.segments.size()));
    for (const check::Act& act : beads) {
        // What is cut off within rounding is no move.
        if (act.length_mm > 0) coverage.match(act, check::Precision{}, 1);
    }
    coverage.settle(check::Precision{}, 1);
    return ledger.verdict().held();
}

}  // namespace

TEST_CASE("check: beads cut anywhere and printed in any order are the same beads") {
    int rejected = 0;
    for (std::uint64_t seed = 0; seed < 2000; ++seed) {
        Random random(seed);
        const check::Layer layer = random_layer(random);
        if (layer.segments.empty()) continue;
        if (!covers(layer, cut_and_shuffled(layer, random))) ++rejected;
    }
    CHECK(rejected == 0);
}

TEST_CASE("check: beads are printed from their other end only where the plan allows it") {
    int turned_layers = 0, mistaken = 0;
    for (std::uint64_t seed = 0; seed < 1000; ++seed) {
        Random random(seed);
        const check::Layer layer = random_layer(random);
        std::vector<check::Act> beads = cut_and_shuffled(layer, random);
        bool any = false;
        for (check::Act& bead : beads) {
            if (bead.length_mm < 0.05 || random.chance(50)) continue;
            bead = turned(bead);
            any = true;
        }
        if (!any) continue;
        ++turned_layers;
        CAPTURE(seed);
        CHECK(covers(layer, beads, true));
        // Of beads to and fro over each other, one turned bead may stand for the other.
        if (covers(layer, beads, false)) ++mistaken;
    }
    CHECK(turned_layers > 500);
    CHECK(mistaken <= 2);
}

TEST_CASE("check: one bead too few, too many, or beside its place is another matter") {
    int missed = 0, tried = 0;
    for (std::uint64_t seed = 0; seed < 1000; ++seed) {
        Random random(seed);
        const check::Layer layer = random_layer(random);
        if (layer.segments.empty()) continue;
        std::vector<check::Act> beads = cut_and_shuffled(layer, random);
        const std::size_t at = random.next() % beads.size();
        if (beads[at].length_mm < 0.02) continue;
        ++tried;
        switch (random.between(0, 3)) {
            case 0:
                beads.erase(beads.begin() + static_cast<std::ptrdiff_t>(at));
                break;
            case 1:
                beads.push_back(beads[at]);
                break;
            case 2:
                std::swap(beads[at].from, beads[at].to);
                break;
            default:
                beads[at].from.z += 0.01;
                beads[at].to.z += 0.01;
                break;
        }
        if (covers(layer, beads)) ++missed;
    }
    CHECK(tried > 900);
    CHECK(missed == 0);
}

// Increments add up a little differently where other beads went before.
TEST_CASE("check: a bead that ends where binary rounding leads is whole") {
    check::Layer layer;
    check::Stroke stroke;
    stroke.start = {5, 10, 0.2};
    stroke.last = 2;
    layer.strokes.push_back(stroke);
    check::Segment segment;
    for (const check::Point& to : {check::Point{10, 10, 0.2}, check::Point{11.091, 10.689, 0.2}}) {
        segment.length_mm = check::distance(layer.segments.empty() ? stroke.start : segment.to, to);
        segment.to = to;
        segment.e_mm = 0.2;
        layer.segments.push_back(segment);
    }
    const auto match_of = [&](const check::Point& from, const check::Point& to) {
        check::Layer printed = layer;
        check::Ledger ledger;
        check::Coverage coverage(printed, false, ledger);
        coverage.begin();
        coverage.open_span(0, 2);
        return coverage.match(bead(from, to, 0.2), {}, 1);
    };
    const check::Match noise =
        match_of({10 + 1e-13, 10 + 1e-13, 0.2}, {11.091 - 1e-13, 10.689, 0.2});
    REQUIRE(noise.found);
    CHECK(noise.from == 0.0);
    CHECK(noise.to == 1.0);
    // A unit of the last decimal less is a cut.
    const check::Match cut = match_of({10, 10, 0.2}, {11.090, 10.688, 0.2});
    REQUIRE(cut.found);
    CHECK(cut.to < 1.0);
}

TEST_CASE("check: arcs are covered as arcs") {
    check::Layer layer;
    check::Stroke stroke;
    stroke.start = {20, 10, 0.2};
    stroke.last = 1;
    layer.strokes.push_back(stroke);
    check::Segment segment;
    segment.to = {20, 10, 0.2};
    segment.arc = 0;
    const double turn = 2 * 3.14159265358979323846;
    layer.arcs.push_back({10, 10, 10, 0, turn});
    segment.length_mm = layer.arcs[0].length_mm();
    segment.e_mm = 3.0;
    layer.segments.push_back(segment);
    const auto piece = [&](double from, double to) {
        check::Act act = bead(layer.point_on(0, from), layer.point_on(0, to), 3.0 * (to - from));
        act.is_arc = true;
        act.arc = {10, 10, 10, turn * from, turn * (to - from)};
        return act;
    };
    CHECK(covers(layer, {piece(0.7, 1.0), piece(0.0, 0.3), piece(0.3, 0.7)}));
    CHECK_FALSE(covers(layer, {piece(0.7, 1.0), piece(0.0, 0.3)}));
    CHECK_FALSE(covers(layer, {piece(0.0, 0.31), piece(0.3, 1.0)}));
    check::Act other = piece(0.0, 1.0);
    other.arc.center_x += 0.02;
    CHECK_FALSE(covers(layer, {other}));
    other = piece(0.0, 1.0);
    other.arc.sweep_rad = -turn;
    CHECK_FALSE(covers(layer, {other}));
    CHECK(covers(layer, {piece(0.0, 1.0)}));
    CHECK_FALSE(covers(layer, {bead({20, 10, 0.2}, {20, 10, 0.2}, 3.0)}));
}

namespace {

double distance_to(const check::Layer& layer, const check::Point& p) {
    double least = 1e9;
    for (std::uint32_t i = 0; i < layer.segments.size(); ++i) {
        const check::Point a = layer.start_of(i), b = layer.segments[i].to;
        const double dx = b.x - a.x, dy = b.y - a.y;
        const double share =
            std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
        least = std::min(least, check::distance_xy(p, check::between(a, b, share)));
    }
    return least;
}

/// The longest stretch of a straight way that is farther than `reach_mm` from every bead.
double plain_open_air(const check::Layer& layer, const check::Point& from, const check::Point& to,
                      double reach_mm) {
    const double length = check::distance_xy(from, to);
    constexpr int steps = 4000;
    double stretch = 0.0, longest = 0.0;
    for (int i = 0; i < steps; ++i) {
        const bool open =
            distance_to(layer, check::between(from, to, (i + 0.5) / steps)) > reach_mm;
        stretch = open ? stretch + length / steps : 0.0;
        longest = std::max(longest, stretch);
    }
    return longest;
}

}  // namespace

TEST_CASE("check: open air is never more than there is, and hardly less") {
    plan::Machine machine;
    machine.reach_x = machine.reach_y = {0.0, 60.0};
    constexpr double bead_mm = 0.5;
    constexpr double grid_mm = 0.35;  // two cells and their corners
    const region::Footprint nothing(machine.reach_x, machine.reach_y);
    region::Footprint empty = nothing;
    empty.find_islands();
    check::OpenAir open_air(machine, empty, bead_mm);
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        Random random(seed);
        const check::Layer layer = random_layer(random);
        if (layer.segments.empty()) continue;
        open_air.paint(layer);
        const std::vector<check::Point> way = {
            {random.between(0, 50) + 0.3, random.between(0, 50) + 0.7, 0.2},
            {random.between(0, 50) + 0.1, random.between(0, 50) + 0.9, 0.2}};
        const double found = open_air.longest_mm(way);
        INFO("seed " << seed);
        CHECK(found <= plain_open_air(layer, way[0], way[1], bead_mm / 2) + 0.1);
        CHECK(found >= plain_open_air(layer, way[0], way[1], bead_mm / 2 + grid_mm) - 0.2);
    }
}

// Rims 2 mm apart, as two parts and as one.
TEST_CASE("check: a narrow gap is open air between two parts, none inside one") {
    plan::Machine machine;
    machine.reach_x = machine.reach_y = {0.0, 60.0};
    constexpr double bead_mm = 0.8, layer_mm = 0.2;
    check::Layer layer;
    region::Footprint footprint(machine.reach_x, machine.reach_y);
    for (const double above : {0.0, layer_mm}) {
        footprint.begin_layer(above);
        layer.clear();
        for (const double x : {10.0, 22.0}) {
            check::Stroke stroke;
            stroke.start = {x, 10, 0.2};
            stroke.first = static_cast<std::uint32_t>(layer.segments.size());
            check::Point from = stroke.start;
            for (const check::Point& to :
                 {check::Point{x + 10, 10, 0.2}, check::Point{x + 10, 20, 0.2},
                  check::Point{x, 20, 0.2}, check::Point{x, 10, 0.2}}) {
                check::Segment segment;
                segment.to = to;
                segment.stroke = static_cast<std::uint32_t>(layer.strokes.size());
                segment.length_mm = check::distance(from, to);
                layer.segments.push_back(segment);
                footprint.paint({from.x, from.y, 0.2}, {to.x, to.y, 0.2},
                                segment.length_mm * bead_mm * layer_mm);
                from = to;
            }
            stroke.last = static_cast<std::uint32_t>(layer.segments.size());
            layer.strokes.push_back(stroke);
        }
    }
    footprint.find_islands();
    REQUIRE(footprint.islands().size() == 2);
    const std::vector<check::Point> way = {{20, 15, 0.2}, {22, 15, 0.2}};
    footprint.name_part(0, 0);
    footprint.name_part(1, 1);
    check::OpenAir between_parts(machine, footprint, bead_mm);
    between_parts.paint(layer);
    // 1.2 mm between the beads; the grid takes a quarter of a millimetre off on either side.
    CHECK(between_parts.longest_mm(way) == Approx(1.2).margin(0.6));
    CHECK(between_parts.longest_mm(way) > 0);
    footprint.name_part(1, 0);
    check::OpenAir inside(machine, footprint, bead_mm);
    inside.paint(layer);
    CHECK(inside.longest_mm(way) == 0);
}

}  // namespace durograde::check_tests
