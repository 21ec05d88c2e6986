#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "grade/survey.hpp"
#include "grading.hpp"
#include "pad_program.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "random.hpp"
#include "region/parts.hpp"
#include "sheet.hpp"
#include "text/program_input.hpp"

/// How parts are found to be turned, wherever they lie on the bed's cells.
namespace durograde {
namespace {

using support::PadProgram;
using support::Polygon;

/// Looks the same after half a turn.
const Polygon oblong = {{-12, -8}, {12, -8}, {12, 8}, {-12, 8}};
/// Looks the same after no turn, though by little: a corner is cut by 0.6 mm.
const Polygon notched = {{-12, -8}, {12, -8}, {12, 7.4}, {11.4, 8}, {-12, 8}};
/// Looks the same after a quarter turn.
const Polygon square = {{-9, -9}, {9, -9}, {9, 9}, {-9, 9}};

struct Pad {
    double x = 0.0, y = 0.0, turn_deg = 0.0;
};

std::string sheet_of(const Polygon& shape, const std::vector<Pad>& pads, int decimals) {
    PadProgram program(decimals);
    for (int layer = 0; layer < 3; ++layer) {
        program.height(0.2 * (layer + 1));
        for (const Pad& pad : pads) {
            const Polygon corners = support::moved(shape, pad.x, pad.y, pad.turn_deg);
            program.loop(corners);
            // Lines along the bed's own axis, as a slicer lays them however a part is turned.
            const double radius = -shape[0].y - 0.2;
            constexpr int lines = 40;
            for (int i = 1; i < lines; ++i) {
                const double y = radius * (2.0 * i / lines - 1);
                const double reach = std::sqrt(radius * radius - y * y);
                program.path({{pad.x - reach, pad.y + y}, {pad.x + reach, pad.y + y}});
            }
        }
    }
    return program.text();
}

std::vector<Pad> pads_of(sheets::Random& random, const std::vector<double>& turns) {
    std::vector<Pad> pads;
    const int count = random.between(2, 6);
    for (int i = 0; i < count; ++i) {
        pads.push_back({30 + 32.0 * (i % 3) + random.stepped(0, 400, 0.01),
                        30 + 32.0 * (i / 3) + random.stepped(0, 400, 0.01),
                        i == 0 ? 0.0
                               : turns[static_cast<std::size_t>(
                                     random.between(0, static_cast<int>(turns.size()) - 1))]});
    }
    return pads;
}

grade::Survey surveyed(const std::string& text, plan::Range reach) {
    ProgramInput input = ProgramInput::from_text(text, "pads.gcode");
    LineSource source = input.first_reading();
    plan::Machine machine;
    machine.reach_x = machine.reach_y = machine.reach_z = reach;
    return grade::survey(source, program::Dialect{}, machine);
}

region::Found found_in(const std::string& text, plan::Range reach = {0, 200}) {
    const grade::Survey survey = surveyed(text, reach);
    auto found = region::find_parts(*survey.footprint);
    if (const auto* misplaced = std::get_if<region::Misplaced>(&found)) FAIL(misplaced->text);
    return std::get<region::Found>(std::move(found));
}

plan::Plan plan_with(const std::string& condition, const std::string& sheet) {
    return plan::load_text(
        support::two_tools_text(
            "", "",
            "[[zone]]\nname = \"firm\"\nwhere = \"" + condition +
                "\"\ntool = 0\n[[zone]]\nname = \"soft\"\nwhere = \"true\"\ntool = 1\n[sheet]\n" +
                sheet),
        "plan.toml");
}

bool warns_of_turns(const plan::Plan& plan, const std::string& text) {
    grade::Figures figures;
    support::graded(plan, text, figures);
    return std::any_of(figures.warnings.begin(), figures.warnings.end(),
                       [](const Diagnostic& d) { return d.code == "turn-is-a-guess"; });
}

}  // namespace

TEST_CASE("of turns that fit alike the smallest is taken wherever the parts lie",
          "[grade][parts]") {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        const int decimals = random.between(2, 4);
        const std::string halves = sheet_of(oblong, pads_of(random, {0, 180}), decimals);
        for (const plan::PartPlace& place : found_in(halves).places) CHECK(place.turn_deg == 0.0);
        const std::string quarters = sheet_of(square, pads_of(random, {0, 90, 180, -90}), decimals);
        const region::Found found = found_in(quarters);
        for (const plan::PartPlace& place : found.places) CHECK(place.turn_deg == 0.0);
        for (std::size_t i = 1; i < found.places.size(); ++i) CHECK(found.as_well[i].size() == 3);
    }
}

TEST_CASE("a cut corner tells how parts are turned wherever they lie", "[grade][parts]") {
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        const std::vector<Pad> pads = pads_of(random, {0, 180, 90, -90, 37});
        const region::Found found = found_in(sheet_of(notched, pads, 3));
        REQUIRE(found.places.size() == pads.size());
        for (std::size_t i = 0; i < pads.size(); ++i) {
            CHECK(std::abs(std::remainder(found.places[i].turn_deg - pads[i].turn_deg, 360)) <
                  0.05);
            CAPTURE(i, pads[i].x, pads[i].y, pads[i].turn_deg, found.places[i].x_mm,
                    found.places[i].y_mm, found.places[i].turn_deg);
            CHECK(std::hypot(found.places[i].x_mm - pads[i].x, found.places[i].y_mm - pads[i].y) <
                  0.02);
            CHECK(found.as_well[i].empty());
        }
    }
}

TEST_CASE("generated parts that are not turned are found so", "[grade][parts]") {
    int sheets = 0;
    for (std::uint64_t seed = 0; seed < 150; ++seed) {
        INFO("seed " << seed);
        sheets::Style style = sheets::style_from_seed(seed);
        style.round_every = 0;
        style.turn_step_deg = 0;
        style.offset_x_mm += 0.01 * static_cast<double>(seed % 20);
        style.offset_y_mm += 0.01 * static_cast<double>(seed % 13);
        style = sheets::sane(style);
        if (style.parts < 2 || style.volumetric) continue;
        for (const plan::PartPlace& place : found_in(sheets::make_sheet(style), {-5, 400}).places)
            CHECK(place.turn_deg == 0.0);
        ++sheets;
    }
    CHECK(sheets > 50);
}

TEST_CASE("parts are found at the same places on beds of any size", "[grade][parts]") {
    for (std::uint64_t seed = 0; seed < 30; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        const Polygon& shape = seed % 2 == 0 ? notched : oblong;
        const std::string text = sheet_of(shape, pads_of(random, {0, 180, 90, 30}), 3);
        const region::Found here = found_in(text, {0, 200});
        const region::Found there = found_in(text, {-200.07, 800});
        REQUIRE(here.places.size() == there.places.size());
        for (std::size_t i = 0; i < here.places.size(); ++i) {
            CHECK(here.places[i].x_mm == there.places[i].x_mm);
            CHECK(here.places[i].y_mm == there.places[i].y_mm);
            CHECK(here.places[i].turn_deg == there.places[i].turn_deg);
        }
    }
}

TEST_CASE("a turn that is a guess is told where zones make a difference", "[grade][parts]") {
    sheets::Random random(1);
    const std::vector<Pad> pads = {{30.13, 40.27, 0}, {71.41, 40.33, 0}, {112.5, 41.1, 180}};
    const std::string even = sheet_of(oblong, pads, 3), uneven = sheet_of(notched, pads, 3);
    const std::string detect = "place = \"detect\"\n";
    CHECK(warns_of_turns(plan_with("x < -4", detect), even));
    CHECK_FALSE(warns_of_turns(plan_with("abs(x) < 4", detect), even));
    CHECK_FALSE(warns_of_turns(plan_with("height < 0.3", detect), even));
    CHECK_FALSE(warns_of_turns(plan_with("x < -4", detect), uneven));
    CHECK_FALSE(warns_of_turns(plan_with("x < -4", detect), sheet_of(oblong, {pads[0]}, 3)));
    CHECK_FALSE(
        warns_of_turns(plan_with("x < -4",
                                 "place = [{ x = 30.13, y = 40.27 }, { x = 71.41, y = 40.33 }, "
                                 "{ x = 112.5, y = 41.1, turn = 180 }]\n"),
                       even));
}

}  // namespace durograde
