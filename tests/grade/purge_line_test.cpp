#include <catch2/catch.hpp>

#include "../check/pair.hpp"
#include "../program/assembling.hpp"
#include "grade/survey.hpp"
#include "grading.hpp"
#include "pad_program.hpp"
#include "plans.hpp"
#include "random.hpp"
#include "region/parts.hpp"

/// What is printed beside the parts, at a height of its own, changes nothing for them.
namespace durograde {
namespace {

using support::PadProgram;

struct Sheet {
    double first_mm = 0.3, layer_mm = 0.2;
    int layers = 4;
    std::vector<support::Corner> places;
    bool one_by_one = false;
};

Sheet sheet_of(sheets::Random& random) {
    Sheet sheet;
    sheet.first_mm = random.stepped(15, 40, 0.01);
    sheet.layer_mm = random.stepped(10, 30, 0.01);
    sheet.layers = random.between(2, 6);
    for (int i = 0; i < random.between(1, 3); ++i)
        sheet.places.push_back({40 + 30.0 * i + random.stepped(0, 400, 0.001), 60});
    return sheet;
}

void print(const Sheet& sheet, const std::vector<support::Corner>& places, PadProgram& program) {
    for (int layer = 0; layer < sheet.layers; ++layer) {
        program.height(sheet.first_mm + layer * sheet.layer_mm);
        for (const support::Corner& at : places)
            program.pad(support::moved(support::rectangle(8, 6), at.x, at.y));
    }
}

void print(const Sheet& sheet, PadProgram& program) {
    if (!sheet.one_by_one) return print(sheet, sheet.places, program);
    for (const support::Corner& at : sheet.places) print(sheet, {at}, program);
}

/// One to three lines beside the parts, each at a height of its own, now and then rising.
void purge(sheets::Random& random, PadProgram& program) {
    const int lines = random.between(1, 3);
    const double apart = lines < 3 ? 0.5 : 3.0;  // beads beside each other, but no wide patch
    for (int i = 0; i < lines; ++i) {
        program.height(random.stepped(5, 90, 0.01));
        program.path({{10 + apart * i, 20}, {10 + apart * i, 150}});
        if (random.chance(30))
            program.line("G1 Z" + fmt::format("{:.2f}", random.stepped(5, 90, 0.01)) + " Y20 E5");
    }
}

grade::Survey surveyed(const std::string& text) {
    ProgramInput input = ProgramInput::from_text(text, "pads.gcode");
    LineSource source = input.first_reading();
    plan::Machine machine;
    machine.reach_x = machine.reach_y = machine.reach_z = {0.0, 200.0};
    return grade::survey(source, program::Dialect{}, machine);
}

/// The layers' numbers of all that is printed for the parts.
std::vector<long> numbers(const std::string& text, const grade::Survey& survey) {
    program::Bounds bounds;
    bounds.first_layers = survey.first_layers;
    std::vector<long> layers;
    for (const program::Span& span : program_test::assembled(text, bounds)) {
        if (!span.strokes.empty() && span.strokes.front().start.x > 20)
            layers.push_back(span.layer);
    }
    return layers;
}

std::vector<plan::PartPlace> places_of(const grade::Survey& survey) {
    const auto found = region::find_parts(*survey.footprint);
    if (const auto* misplaced = std::get_if<region::Misplaced>(&found)) FAIL(misplaced->text);
    return std::get<region::Found>(found).places;
}

}  // namespace

TEST_CASE("a purge line of any height changes neither parts nor layers", "[grade][parts]") {
    for (std::uint64_t seed = 0; seed < 120; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        Sheet sheet = sheet_of(random);
        sheet.one_by_one = random.chance(30);
        PadProgram plain, purged;
        print(sheet, plain);
        purge(random, purged);
        print(sheet, purged);
        const grade::Survey without = surveyed(plain.text()), with = surveyed(purged.text());
        CHECK(with.parts_in_sequence == without.parts_in_sequence);
        CHECK(without.parts_in_sequence == (sheet.one_by_one && sheet.places.size() > 1));
        CHECK(with.layer_runs == without.layer_runs);
        CHECK(with.layer_height_mm == Approx(without.layer_height_mm));
        CHECK(with.footprint->bead_width_mm() == Approx(without.footprint->bead_width_mm()));
        CHECK(numbers(purged.text(), with) == numbers(plain.text(), without));
        const auto places = places_of(with), expected = places_of(without);
        REQUIRE(places.size() == expected.size());
        CHECK(places.size() == sheet.places.size());
        for (std::size_t i = 0; i < places.size(); ++i) {
            CHECK(places[i].x_mm == Approx(expected[i].x_mm).margin(1e-9));
            CHECK(places[i].y_mm == Approx(expected[i].y_mm).margin(1e-9));
        }
    }
}

TEST_CASE("conditions on layers count from the parts' first layer above a purge line",
          "[grade][parts]") {
    const plan::Plan plan = plan::load_text(
        support::two_tools_text("", "",
                                "[[zone]]\nname = \"foot\"\nwhere = \"layer < 2\"\ntool = 0\n"
                                "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 1\n"
                                "[sheet]\nplace = \"detect\"\n"),
        "plan.toml");
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed + 1000);
        const Sheet sheet = sheet_of(random);
        PadProgram plain, purged;
        print(sheet, plain);
        purge(random, purged);
        print(sheet, purged);
        grade::Figures without, with;
        support::graded(plan, plain.text(), without);
        const std::string after = support::graded(plan, purged.text(), with);
        for (std::size_t zone = 0; zone < 2; ++zone)
            CHECK(with.zones[zone].length_mm == Approx(without.zones[zone].length_mm));
        const check::Verdict verdict = check_tests::judge(plan, purged.text(), after);
        INFO(check_tests::story(verdict));
        CHECK(check_tests::fallen(verdict).empty());
    }
}

}  // namespace durograde
