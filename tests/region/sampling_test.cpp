#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "random_fields.hpp"
#include "region/split.hpp"

/// Zones whose conditions have no bound on how fast they change: they are found by sampling.
namespace durograde {
namespace {

using region::Placement;
using region::Run;
using region::segment_length;
using region::segment_point;
using region::ZoneField;
using region_test::number_text;
using region_test::plan_of;
using region_test::random_number;
using region_test::some_shapes;
using region_test::StrokeMaker;

/// A number whose slope is not known.
std::string steep_number(sheets::Random& random) {
    const auto leaf = [&] { return random_number(random, random.between(0, 1)); };
    switch (random.between(0, 3)) {
        case 0:
            return leaf() + " * " + leaf();
        case 1:
            return leaf() + " / (abs(" + leaf() + ") + 2)";
        case 2:
            return "sqrt(abs(" + leaf() + "))";
        default:
            return "hypot(" + leaf() + " * " + leaf() + ", " + leaf() + ")";
    }
}

/// Lines and arcs of a tenth of a mm to a few mm, at random.
StrokeMaker random_way(sheets::Random& random) {
    const auto number = [&](double low, double high) {
        return low + (high - low) * random.between(0, 100'000) / 100'000.0;
    };
    StrokeMaker maker({number(-8, 8), number(-8, 8), number(0, 4)});
    const double longest_mm = random.between(0, 1) == 0 ? 0.2 : 6.0;
    for (int i = random.between(20, 60); i > 0; --i) {
        const auto at = maker.at();
        if (random.between(0, 4) == 0)
            maker.arc(at.x + number(0.1, longest_mm), at.y, number(-170, 170));
        else
            maker.line(at.x + number(-longest_mm, longest_mm), at.y + number(0.05, longest_mm));
    }
    return maker;
}

/// Length along the stroke up to a cut.
double place_of(const StrokeMaker& maker, const region::Cut& cut) {
    double sum = 0;
    for (std::uint32_t i = 0; i < cut.segment; ++i)
        sum += segment_length(maker.span(), maker.stroke(), i);
    return sum + cut.fraction * segment_length(maker.span(), maker.stroke(), cut.segment);
}

/// The point of a stroke after so much of its length.
program::Point point_at(const StrokeMaker& maker, double mm) {
    for (std::uint32_t i = 0;; ++i) {
        const double length = segment_length(maker.span(), maker.stroke(), i);
        const bool is_last = i + 1 == maker.stroke().last_segment;
        if (mm < length || is_last)
            return segment_point(maker.span(), maker.stroke(), i,
                                 std::clamp(mm / length, 0.0, 1.0));
        mm -= length;
    }
}

}  // namespace

// Against the zones as they are every 2 µm of the way. Zones that a step leaps over are another
// matter: of those the report warns.
TEST_CASE("where no slope is known, a boundary lies where the conditions say all the same",
          "[region]") {
    constexpr double asked_mm = 0.02, fine_mm = 0.002;
    sheets::Random random(2211);
    int found = 0;
    for (int round = 0; round < 1200; ++round) {
        const plan::Plan plan = plan_of(
            some_shapes(random), {steep_number(random) + " < " + number_text(random),
                                  steep_number(random) + " > " + number_text(random), "true"});
        const ZoneField field(plan);
        if (!field.samples()) continue;
        const StrokeMaker maker = random_way(random);
        std::vector<Run> runs;
        split_at_zones(maker.span(), maker.stroke(), field, Placement(), runs);
        for (std::size_t i = 1; i < runs.size(); ++i) {
            const double place = place_of(maker, runs[i].begin);
            const auto zone_at = [&](double mm) {
                return field.zone_at(Placement().spot(point_at(maker, mm), 0));
            };
            bool is_near = false;
            for (double off = -asked_mm; off < asked_mm && !is_near; off += fine_mm)
                is_near = zone_at(place + off) == runs[i - 1].zone &&
                          zone_at(place + off + fine_mm) == runs[i].zone;
            CAPTURE(round, plan.zones[0].where_text, plan.zones[1].where_text, place);
            CHECK(is_near);
            ++found;
        }
    }
    CHECK(found > 300);
}

}  // namespace durograde
