#include "region/parts.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <numbers>

#include "random.hpp"

/// Parts that are found without a list, on a bed of 200 mm.
namespace durograde {
namespace {

using plan::PartPlace;
using region::Footprint;

struct Corner {
    double x = 0.0, y = 0.0;
};
using Polygon = std::vector<Corner>;

/// The shape of a pad with a nose: no turn brings it onto itself. Its box about (0, 0).
const Polygon hooked = {{-8, -6}, {8, -6}, {8, 2}, {1, 2}, {-2, 6}, {-8, 6}};
const Polygon oblong = {{-8, -5}, {8, -5}, {8, 5}, {-8, 5}};

Corner placed(const Corner& at, const PartPlace& place) {
    const double turn = place.turn_deg * std::numbers::pi / 180;
    return {place.x_mm + at.x * std::cos(turn) - at.y * std::sin(turn),
            place.y_mm + at.x * std::sin(turn) + at.y * std::cos(turn)};
}

/// Paints three layers of polygons: their outlines, and lines along the bed's x between.
class Bed {
  public:
    Bed() : footprint({0, 200}, {0, 200}) {}

    void print(const std::vector<std::pair<Polygon, PartPlace>>& parts) {
        for (int layer = 0; layer < 3; ++layer) {
            footprint.begin_layer(layer == 0 ? 0.0 : height);
            if (layer == 0 && around) around(*this);
            for (const auto& [polygon, place] : parts) fill(polygon, place);
        }
        footprint.find_islands();
    }
    void line(const Corner& a, const Corner& b) {
        footprint.paint({a.x, a.y, 0}, {b.x, b.y, 0},
                        std::hypot(a.x - b.x, a.y - b.y) * width * height);
    }
    void loop(const Corner& low, const Corner& high) {
        line(low, {high.x, low.y});
        line({high.x, low.y}, high);
        line(high, {low.x, high.y});
        line({low.x, high.y}, low);
    }

    Footprint footprint;
    std::function<void(Bed&)> around;  ///< what the first layer has besides

  private:
    static constexpr double width = 0.45, height = 0.2;

    void fill(const Polygon& polygon, const PartPlace& place) {
        Polygon at;
        for (const Corner& corner : polygon) at.push_back(placed(corner, place));
        for (std::size_t i = 0; i < at.size(); ++i) line(at[i], at[(i + 1) % at.size()]);
        for (double y = 0; y < 200; y += width) {
            std::vector<double> crossings;
            for (std::size_t i = 0; i < at.size(); ++i) {
                const Corner &a = at[i], &b = at[(i + 1) % at.size()];
                if ((a.y > y) != (b.y > y))
                    crossings.push_back(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
            }
            std::sort(crossings.begin(), crossings.end());
            for (std::size_t i = 0; i + 1 < crossings.size(); i += 2)
                line({crossings[i], y}, {crossings[i + 1], y});
        }
    }
};

std::vector<PartPlace> found(Footprint& footprint) {
    plan::Sheet sheet;
    sheet.source = plan::Sheet::Source::islands;
    auto placed = region::place_parts(sheet, footprint, {});
    if (const auto* misplaced = std::get_if<region::Misplaced>(&placed)) FAIL(misplaced->text);
    return std::get<region::Found>(placed).places;
}

region::Misplaced refused(const Footprint& footprint) {
    const auto parts = region::find_parts(footprint);
    REQUIRE(std::holds_alternative<region::Misplaced>(parts));
    return std::get<region::Misplaced>(parts);
}

bool is_near(const PartPlace& a, const PartPlace& b, double mm, double deg) {
    return std::hypot(a.x_mm - b.x_mm, a.y_mm - b.y_mm) <= mm &&
           std::abs(std::remainder(a.turn_deg - b.turn_deg, 360)) <= deg;
}

/// Places in rows, each turned by a whole number of degrees but for the first.
std::vector<PartPlace> turned_places(sheets::Random& random, int count) {
    std::vector<PartPlace> places;
    for (int i = 0; i < count; ++i) {
        places.push_back({25 + 30 * (i % 6) + random.stepped(-100, 100, 0.01),
                          25 + 30 * (i / 6) + random.stepped(-100, 100, 0.01),
                          i == 0 ? 0.0 : random.between(-179, 180)});
    }
    return places;
}

}  // namespace

TEST_CASE("parts are found with their turns", "[region][parts]") {
    REQUIRE(rc::check("hooked parts anywhere", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::vector<PartPlace> places = turned_places(random, random.between(2, 12));
        std::vector<std::pair<Polygon, PartPlace>> parts;
        for (const PartPlace& place : places) parts.emplace_back(hooked, place);
        Bed bed;
        bed.print(parts);
        const std::vector<PartPlace> known = found(bed.footprint);
        RC_ASSERT(known.size() == places.size());
        for (std::size_t i = 0; i < places.size(); ++i) {
            RC_LOG() << known[i].x_mm << ' ' << known[i].y_mm << ' ' << known[i].turn_deg << " for "
                     << places[i].x_mm << ' ' << places[i].y_mm << ' ' << places[i].turn_deg
                     << '\n';
            RC_ASSERT(is_near(known[i], places[i], 1e-3, 0.0));
            const Corner middle = placed({-4, 0}, places[i]);
            RC_ASSERT(bed.footprint.part_at(middle.x, middle.y) == static_cast<int>(i));
        }
    }));
}

TEST_CASE("quarter turns have exact origins", "[region][parts]") {
    Bed bed;
    const std::vector<PartPlace> places = {
        {30.123, 40.456, 0}, {70.031, 40.017, 90}, {110.009, 40, 180}, {150, 41.234, -90}};
    std::vector<std::pair<Polygon, PartPlace>> parts;
    for (const PartPlace& place : places) parts.emplace_back(hooked, place);
    bed.print(parts);
    const auto known = found(bed.footprint);
    REQUIRE(known.size() == 4);
    for (std::size_t i = 0; i < 4; ++i) CHECK(is_near(known[i], places[i], 2e-5, 0));
}

TEST_CASE("of turns that fit alike the smallest is taken", "[region][parts]") {
    Bed bed;
    bed.print({{oblong, {30, 40, 0}},
               {oblong, {70, 40, 180}},
               {oblong, {110, 40, 90}},
               {oblong, {150, 40, 30}},
               {oblong, {30, 80, 210}}});
    const auto known = found(bed.footprint);
    REQUIRE(known.size() == 5);
    CHECK(known[1].turn_deg == 0);
    CHECK(std::abs(known[2].turn_deg) == 90);
    CHECK(known[3].turn_deg == 30);
    CHECK(known[4].turn_deg == 30);
}

TEST_CASE("skirt, brim and purge line are no parts", "[region][parts]") {
    Bed bed;
    bed.around = [](Bed& on) {
        on.line({10, 5}, {190, 5});
        on.line({10, 5.4}, {190, 5.4});
        on.loop({12, 22}, {98, 58});
        on.loop({12.45, 22.45}, {97.55, 57.55});
        for (double off = 0.45; off < 3; off += 0.45)
            on.loop({22 - off, 35 - off}, {38 + off, 45 + off});
    };
    bed.print({{oblong, {30, 40, 0}}, {oblong, {80, 40, 0}}});
    const auto known = found(bed.footprint);
    REQUIRE(known.size() == 2);
    CHECK(is_near(known[0], {30, 40, 0}, 2e-5, 0));
    CHECK(is_near(known[1], {80, 40, 0}, 2e-5, 0));
}

TEST_CASE("a line of several layers is no part", "[region][parts]") {
    Bed bed;
    const Polygon line = {{-60, -0.2}, {60, -0.2}, {60, 0.2}, {-60, 0.2}};
    bed.print({{line, {100, 10, 0}}, {oblong, {30, 40, 0}}, {oblong, {80, 40, 90}}});
    const auto known = found(bed.footprint);
    REQUIRE(known.size() == 2);
    CHECK(is_near(known[0], {30, 40, 0}, 2e-5, 0));
}

TEST_CASE("parts that differ or touch are told with their places", "[region][parts]") {
    Bed odd;
    odd.print({{oblong, {30, 40, 0}}, {oblong, {80, 40, 0}}, {hooked, {130.5, 40, 0}}});
    const region::Misplaced one = refused(odd.footprint);
    CHECK(one.code == "parts-unlike");
    CHECK(one.text.find("1 of 3") == 0);
    CHECK(one.text.find("x 130.5") != std::string::npos);
    Bed touching;
    touching.print({{oblong, {30, 40, 0}}, {oblong, {80, 40, 0}}, {oblong, {96.1, 40, 0}}});
    CHECK(refused(touching.footprint).code == "parts-unlike");
    CHECK(refused(touching.footprint).text.find("touch") != std::string::npos);
    Bed empty;
    empty.print({});
    CHECK(refused(empty.footprint).code == "no-part");
}

TEST_CASE("a part of another size is another part", "[region][parts]") {
    const auto grown = [](double by) {
        Polygon larger = hooked;
        for (Corner& corner : larger) {
            corner.x += corner.x < 0 ? -by : by;
            corner.y += corner.y < 0 ? -by : by;
        }
        return larger;
    };
    Bed same, other;
    same.print({{hooked, {30, 40, 0}}, {grown(0.03), {80, 40, 0}}});
    CHECK(found(same.footprint).size() == 2);
    other.print({{hooked, {30, 40, 0}}, {grown(0.4), {80, 40, 0}}});
    CHECK(refused(other.footprint).code == "parts-unlike");
}

TEST_CASE("parts of several shapes are told apart where the plan allows it", "[region][parts]") {
    const std::vector<PartPlace> places = {
        {30, 40, 0}, {70, 40, 0, 1}, {110, 40, 90}, {150, 40, 30, 1}, {30, 90, -45}};
    const auto print = [&](Bed& bed) {
        std::vector<std::pair<Polygon, PartPlace>> parts;
        for (const PartPlace& place : places)
            parts.emplace_back(place.kind == 0 ? hooked : oblong, place);
        bed.print(parts);
    };
    Bed bed;
    print(bed);
    CHECK(refused(bed.footprint).code == "parts-unlike");
    const auto parts = region::find_parts(bed.footprint, 2);
    REQUIRE(std::holds_alternative<region::Found>(parts));
    const auto& known = std::get<region::Found>(parts).places;
    REQUIRE(known.size() == places.size());
    for (std::size_t i = 0; i < places.size(); ++i) {
        CHECK(known[i].kind == places[i].kind);
        CHECK(is_near(known[i], places[i], 1e-3, 0.1));
    }
}

TEST_CASE("labels name the parts, and what has none is no part", "[region][parts]") {
    Bed bed;
    const std::vector<PartPlace> places = {{30, 40, 0}, {70, 40, 90}, {110, 40, 0}};
    bed.print({{hooked, places[0]}, {hooked, places[1]}, {oblong, places[2]}});
    region::Labels labels;
    CHECK_FALSE(labels.any());
    labels.note(-1, 110, 40);
    labels.note(4, 70, 39.5);
    labels.note(2, 28, 40);
    labels.note(2, 30, 41);
    labels.note(4, 5, 5);  // a bead of its brim
    plan::Sheet sheet;
    sheet.source = plan::Sheet::Source::labels;
    const auto placed = region::place_parts(sheet, bed.footprint, labels);
    REQUIRE(std::holds_alternative<region::Found>(placed));
    const auto& known = std::get<region::Found>(placed).places;
    REQUIRE(known.size() == 2);
    CHECK(
        is_near(known[0], {70, 40, 0}, 2.5, 0.0));  // the first under a label counts as not turned
    CHECK(is_near(known[1], {30, 40, -90}, 2.5, 0.0));
    CHECK(bed.footprint.part_at(110, 40) == region::outside);
    CHECK(bed.footprint.part_at(28, 40) == 1);
}

TEST_CASE("labels that name no part of their own are refused", "[region][parts]") {
    Bed bed;
    bed.print({{hooked, {30, 40, 0}}, {hooked, {70, 40, 90}}});
    const auto refusal = [&](const region::Labels& labels) {
        const auto islands = labels.islands(bed.footprint);
        REQUIRE(std::holds_alternative<region::Misplaced>(islands));
        return std::get<region::Misplaced>(islands);
    };
    CHECK(refusal({}).code == "no-label");
    region::Labels twice;
    twice.note(1, 30, 40);
    twice.note(1, 70, 39);
    CHECK(refusal(twice).code == "label-on-islands");
    region::Labels shared;
    shared.note(1, 30, 40);
    shared.note(2, 27, 40);
    CHECK(refusal(shared).code == "parts-touch");
}

}  // namespace durograde
