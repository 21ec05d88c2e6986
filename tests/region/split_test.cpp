#include "region/split.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "random_fields.hpp"

/// Strokes cut where zones change. Marching by distances: Hart, Sphere tracing, The Visual Computer
/// 12(10), 1996, 527-545.
namespace durograde {
namespace {

using region::Placement;
using region::Run;
using region::segment_length;
using region::segment_point;
using region::ZoneField;
using region_test::plan_of;
using region_test::StrokeMaker;

std::vector<Run> split(const StrokeMaker& maker, const plan::Plan& plan,
                       const Placement& placement = {}) {
    const ZoneField field(plan);
    std::vector<Run> runs(3);  // what it held before must not matter
    split_at_zones(maker.span(), maker.stroke(), field, placement, runs);
    return runs;
}

double length_of(const StrokeMaker& maker) {
    double sum = 0;
    for (std::uint32_t i = 0; i < maker.stroke().last_segment; ++i) {
        sum += segment_length(maker.span(), maker.stroke(), i);
    }
    return sum;
}

/// Length along the stroke up to a cut.
double place_of(const StrokeMaker& maker, const region::Cut& cut) {
    double sum = 0;
    for (std::uint32_t i = 0; i < cut.segment; ++i)
        sum += segment_length(maker.span(), maker.stroke(), i);
    return sum + cut.fraction * segment_length(maker.span(), maker.stroke(), cut.segment);
}

void require_complete(const StrokeMaker& maker, const std::vector<Run>& runs) {
    RC_ASSERT(!runs.empty());
    RC_ASSERT((runs.front().begin.segment == 0 && runs.front().begin.fraction == 0));
    RC_ASSERT(runs.back().end.segment + 1 == maker.stroke().last_segment);
    RC_ASSERT(runs.back().end.fraction == 1);
    double sum = 0;
    for (std::size_t i = 0; i < runs.size(); ++i) {
        const double length = place_of(maker, runs[i].end) - place_of(maker, runs[i].begin);
        RC_ASSERT(length >= 0);
        RC_ASSERT(std::abs(runs[i].length_mm - length) < 1e-9);
        sum += runs[i].length_mm;
        for (const region::Cut& cut : {runs[i].begin, runs[i].end}) {
            const auto on = segment_point(maker.span(), maker.stroke(), cut.segment, cut.fraction);
            RC_ASSERT(distance(on, cut.point) < 1e-9);
        }
        if (i == 0) continue;
        RC_ASSERT(runs[i].zone != runs[i - 1].zone);
        RC_ASSERT(runs[i].begin.segment == runs[i - 1].end.segment);
        RC_ASSERT(runs[i].begin.fraction == runs[i - 1].end.fraction);
    }
    RC_ASSERT(std::abs(sum - length_of(maker)) < 1e-9);
}

/// The longest stretch along the stroke that lies in another zone than its run says.
double longest_wrong(const StrokeMaker& maker, const std::vector<Run>& runs, const ZoneField& field,
                     double step) {
    double longest = 0, stretch = 0, place = 0;
    std::size_t run = 0;
    for (std::uint32_t i = 0; i < maker.stroke().last_segment; ++i) {
        const double length = segment_length(maker.span(), maker.stroke(), i);
        const int steps = static_cast<int>(length / step) + 1;
        for (int s = 0; s < steps; ++s) {
            const double share = (s + 0.5) / steps;
            while (run + 1 < runs.size() && place_of(maker, runs[run].end) < place + share * length)
                ++run;
            const auto point = segment_point(maker.span(), maker.stroke(), i, share);
            const bool right = field.zone_at(Placement().spot(point, 0)) == runs[run].zone;
            stretch = right ? 0 : stretch + length / steps;
            longest = std::max(longest, stretch);
        }
        place += length;
    }
    return longest;
}

}  // namespace

TEST_CASE("a line through a sphere is cut where it enters and leaves", "[region]") {
    const plan::Plan plan =
        plan_of({{"tongue", plan::Sphere{{0, 0, 0}, 3}}}, {"distance(tongue) <= 1", "true"});
    const StrokeMaker line = StrokeMaker({-10, 0, 0}).line(10, 0);
    const auto runs = split(line, plan);
    REQUIRE(runs.size() == 3);
    CHECK((runs[0].zone == 1 && runs[1].zone == 0 && runs[2].zone == 1));
    CHECK(runs[0].end.point.x == Approx(-4).margin(1e-4));
    CHECK(runs[1].end.point.x == Approx(4).margin(1e-4));
    CHECK(runs[1].length_mm == Approx(8).margin(2e-4));
    // A tangent at the boundary's own distance touches without entering.
    CHECK(split(StrokeMaker({-10, 4.001, 0}).line(10, 4.001), plan).size() == 1);
}

TEST_CASE("arcs are cut as arcs", "[region]") {
    const plan::Plan plan = plan_of({}, {"x < 5", "true"});
    const StrokeMaker arc = StrokeMaker({10, 0, 0}).arc(0, 0, 360);
    const auto runs = split(arc, plan);
    REQUIRE(runs.size() == 3);
    CHECK(runs[0].zone == 1);
    CHECK(runs[0].length_mm == Approx(10 * std::numbers::pi / 3).margin(2e-4));  // to 60 degrees
    CHECK(runs[1].length_mm == Approx(40 * std::numbers::pi / 3).margin(2e-4));
    CHECK(runs[0].end.point.y == Approx(10 * std::sqrt(0.75)).margin(2e-4));
}

TEST_CASE("a curve of short segments is cut where a line would be", "[region]") {
    const plan::Plan plan =
        plan_of({{"tongue", plan::Sphere{{0, 0, 0}, 3}}}, {"distance(tongue) <= 1", "true"});
    StrokeMaker maker({-10, 0, 0});
    for (int i = 1; i <= 200; ++i) maker.line(-10 + 0.1 * i, 0);
    const auto runs = split(maker, plan);
    REQUIRE(runs.size() == 3);
    CHECK(runs[0].length_mm == Approx(6).margin(2e-4));
    CHECK(runs[1].length_mm == Approx(8).margin(2e-4));
}

TEST_CASE("a place moves and turns what a part is", "[region]") {
    const Placement placement(plan::PartPlace{10, 20, 90}, 3, nullptr);
    const region::Spot spot = placement.spot({10, 25, 0.4}, 7);
    CHECK(spot.point[0] == Approx(5).epsilon(1e-12));  // the part's own x points along y
    CHECK(spot.point[1] == Approx(0).margin(1e-12));
    CHECK((spot.point[2] == 0.4 && spot.height_mm == 0.4 && spot.layer == 7 && spot.part == 3));
    const region::Spot other = placement.spot({8, 25, 0.4}, 7);
    CHECK(other.point[0] == Approx(5).epsilon(1e-12));
    CHECK(other.point[1] == Approx(2).epsilon(1e-12));  // and its own y against x
    const plan::Plan plan = plan_of({}, {"x < 2", "true"});
    const auto runs = split(StrokeMaker({10, 20, 0}).line(10, 30), plan, placement);
    REQUIRE(runs.size() == 2);
    CHECK(runs[0].length_mm == Approx(2).margin(1e-4));
}

TEST_CASE("where no slope is known, zones thicker than the step are found", "[region]") {
    plan::Plan plan = plan_of({}, {"x * x < 0.0036", "true"});  // 0.12 mm of the way
    plan.split.step_mm = 0.1;
    CHECK(ZoneField(plan).samples());
    for (const double begin : {-5.0, -5.03, -5.07}) {
        const auto runs = split(StrokeMaker({begin, 0, 0}).line(5, 0), plan);
        REQUIRE(runs.size() == 3);
        CHECK(runs[1].length_mm == Approx(0.12).margin(2e-4));
    }
    CHECK_FALSE(ZoneField(plan_of({}, {"x < 5"})).samples());
}

TEST_CASE("the first zone that holds wins, and none may hold", "[region]") {
    const ZoneField field(plan_of({}, {"x < 0", "x < 5", "x > 8"}));
    const auto zone = [&](double x) { return field.zone_at({{x, 0, 0}, 0, 0, 0}); };
    CHECK((zone(-1) == 0 && zone(3) == 1 && zone(9) == 2));
    CHECK(zone(6) == region::no_zone);
}

TEST_CASE("the firm side gains on even layers, and the soft one on odd layers", "[region]") {
    // A cold zone within a hot one, a hot one within a cold one, and one that keeps its tool.
    const auto boundary = [](const std::vector<double>& temperatures_c, double layer,
                             const std::string& where) {
        plan::Plan plan = plan_of({}, {where, "true"});
        region_test::interlock(plan, temperatures_c, 0.25);
        const ZoneField field(plan);
        double low = 0, high = 10;
        while (high - low > 1e-6) {
            const double middle = (low + high) / 2;
            (field.zone_at({{middle, 0, 0}, 0, layer, 0}) == 0 ? low : high) = middle;
        }
        return low;
    };
    CHECK(boundary({190, 250}, 0, "x < 5") == Approx(5.25));
    CHECK(boundary({190, 250}, 1, "x < 5") == Approx(4.75));
    CHECK(boundary({250, 190}, 0, "x < 5") == Approx(4.75));
    CHECK(boundary({250, 190}, 1, "x < 5") == Approx(5.25));
    CHECK(boundary({190, 250}, 2, "2 * x < 10") == Approx(5.25));
    CHECK(boundary({190, 250}, 0, "hypot(x, y) < 5") == Approx(5.25));
    CHECK(boundary({190, 190}, 0, "x < 5") == Approx(5));
    CHECK(boundary({190, 0}, 0, "x < 5") == Approx(5));
    CHECK(boundary({0, 190}, 1, "x < 5") == Approx(5));
    CHECK(boundary({190, 250}, 1, "x * x < 25") == Approx(5));  // no slope is known
    CHECK(boundary({190, 250}, 1, "layer < 1 and x < 5 or layer >= 1 and x < 5") == Approx(4.75));
}

TEST_CASE("each pair of zones is shifted by itself", "[region]") {
    plan::Plan plan = plan_of({}, {"x < 3", "x < 6", "true"});
    region_test::interlock(plan, {220, 190, 250}, 0.25);
    const ZoneField field(plan);
    const auto zone = [&](double x, double layer) {
        return field.zone_at({{x, 0, 0}, 0, layer, 0});
    };
    // 220 beside 190: the second is firm. 190 beside 250: the second again.
    CHECK((zone(2.7, 0) == 0 && zone(2.8, 0) == 1 && zone(6.2, 0) == 1 && zone(6.3, 0) == 2));
    CHECK((zone(3.2, 1) == 0 && zone(3.3, 1) == 1 && zone(5.7, 1) == 1 && zone(5.8, 1) == 2));
}

// Beside 190 the zone of 220 is shifted inwards, beside 250 outwards: where what lies beyond
// changes, so does the zone.
TEST_CASE("the free distance ends where another zone lies beyond a shifted boundary", "[region]") {
    plan::Plan plan = plan_of({}, {"x < 5", "y < 0", "true"});
    region_test::interlock(plan, {220, 190, 250}, 0.25);
    const ZoneField field(plan);
    const auto at = [&](double y) { return field.at({{5.1, y, 0}, 0, 0, 0}); };
    // The boundary of 190 against 250 is y < 0.25 on even layers.
    CHECK((at(0.26).zone == 0 && at(0.24).zone == 1));
    CHECK(at(0.30).free_mm <= 0.05 + 1e-9);
}

TEST_CASE("the boundary of a mesh is shifted by its exact distance", "[region]") {
    const double layer = GENERATE(0, 1);
    plan::Plan plan =
        plan_of({{"ball", plan::Mesh{"", "", mesh_test::welded(mesh_test::ball(5, 24))}}},
                {"distance(ball) <= 1", "true"});
    region_test::interlock(plan, {190, 250}, 0.25);
    const region::Fields fields(plan.shapes);
    REQUIRE(fields.find("ball").off_mm() > 1e-3);
    const ZoneField field(plan);
    for (int way = 0; way < 40; ++way) {
        const double turn = 0.157 * way, up = std::sin(0.9 * way);
        const auto there = [&](double mm) {
            const double flat = std::sqrt(1 - up * up);
            return plan::Vec3{mm * flat * std::cos(turn), mm * flat * std::sin(turn), mm * up};
        };
        double low = 4, high = 8;
        while (high - low > 1e-7) {
            const double middle = (low + high) / 2;
            (field.zone_at({there(middle), 0, layer, 0}) == 0 ? low : high) = middle;
        }
        CHECK(fields.find("ball").exact_mm(there(low)) ==
              Approx(layer == 0 ? 1.25 : 0.75).margin(1e-5));
    }
}

TEST_CASE("no zone changes within the free distance", "[region]") {
    REQUIRE(rc::check("in any direction", [](std::uint64_t seed) {
        sheets::Random random(seed);
        plan::Plan plan = plan_of(
            region_test::some_shapes(random),
            {region_test::random_truth(random, 2), region_test::random_truth(random, 1), "true"});
        if (random.chance(50)) region_test::interlock(plan, {220, 190, 250}, 0.3);
        const ZoneField field(plan);
        for (int i = 0; i < 20; ++i) {
            const plan::Vec3 at = region_test::random_point(random),
                             way = region_test::random_point(random);
            const auto probe = field.at({at, 0, 0, 0});
            RC_ASSERT(probe.zone == field.zone_at({at, 0, 0, 0}));
            const double norm = region_test::apart(way, {0, 0, 0});
            if (probe.free_mm <= plan.split.tolerance_mm || norm < 1e-3) continue;
            const double far =
                std::min(probe.free_mm, 100.0) * random.between(0, 999) * 1e-3 / norm;
            const plan::Vec3 there = {at[0] + way[0] * far, at[1] + way[1] * far,
                                      at[2] + way[2] * far};
            RC_ASSERT(field.zone_at({there, 0, 0, 0}) == probe.zone);
        }
    }));
}

TEST_CASE("no zone thicker than the tolerance is missed", "[region]") {
    REQUIRE(rc::check("against dense samples", [](std::uint64_t seed) {
        sheets::Random random(seed);
        plan::Plan plan = plan_of(
            region_test::some_shapes(random),
            {region_test::random_truth(random, 2), region_test::random_truth(random, 1), "true"});
        plan.split.tolerance_mm = random.chance(50) ? 0.02 : 0.1;
        if (random.chance(50)) region_test::interlock(plan, {220, 190, 250}, 0.3);
        RC_LOG() << plan.zones[0].where_text << '\n' << plan.zones[1].where_text << '\n';
        const StrokeMaker maker = region_test::random_stroke(random);
        const auto runs = split(maker, plan);
        require_complete(maker, runs);
        const double step = plan.split.tolerance_mm / 5;
        RC_ASSERT(longest_wrong(maker, runs, ZoneField(plan), step) <= plan.split.tolerance_mm);
    }));
}

// One turn of radius 10 that rises 40 is as long as its helix: sqrt((20 pi)^2 + 40^2) = 74.48.
TEST_CASE("a rising arc is as long as its helix", "[region]") {
    const StrokeMaker maker = StrokeMaker({10, 0, 0}).arc(0, 0, 360, 40);
    CHECK(length_of(maker) == Approx(std::hypot(20 * std::numbers::pi, 40)).epsilon(1e-9));
}

}  // namespace durograde
