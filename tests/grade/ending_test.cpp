#include "grade/ending.hpp"

#include <catch2/catch.hpp>

#include "grade/survey.hpp"
#include "random.hpp"
#include "sheet.hpp"
#include "text/program_input.hpp"

/// A program that was cut short is told from one that ends, whatever its end looks like.
namespace durograde::grade {
namespace {

Survey survey_of(const std::string& text) {
    ProgramInput input = ProgramInput::from_text(text, "sheet.gcode");
    LineSource source = input.first_reading();
    plan::Machine machine;
    machine.reach_x = machine.reach_y = machine.reach_z = {-200.0, 800.0};
    return survey(source, program::Dialect{}, machine);
}

bool is_cut_short(const std::string& text) {
    return survey_of(text).ending.is_cut_short();
}

const std::string heated = "M104 S200\nG28\n";
const std::string beads = "G90\nM83\nG1 X1 Y1 Z.2 F600\nG1 X9 E1\nG1 X9 Y2\nG1 X1 E1\n";

}  // namespace

TEST_CASE("a program that ends as programs do is no cut one", "[ending]") {
    for (const char* end : {"M104 S0\n", "G1 Z20\nM84\n", "M30\n", "M2\n", "G28 X Y\n",
                            "G1 E-2\nclose_down\n", "M140 S0\nM107\n", "M18\n; done\n\n"}) {
        INFO(end);
        CHECK_FALSE(is_cut_short("M140 S50\n" + heated + beads + end + "M140 S0\nM104 S0"));
        CHECK_FALSE(is_cut_short(heated + beads + end));
    }
    CHECK_FALSE(is_cut_short(heated + beads + "M104 S0"));
    CHECK_FALSE(is_cut_short(beads));                    // nothing is hot
    CHECK_FALSE(is_cut_short(heated + "G1 X5 F900\n"));  // and nothing printed
    CHECK_FALSE(is_cut_short(heated + "G1 X5 F900"));
}

TEST_CASE("a program without an end of its own is cut short while heaters are on", "[ending]") {
    for (const char* last : {"", "G1 X5 Y5\n", "M107\n", "M117 layer 2\n", "; layer 3\n",
                             "M204 P500\n", "M73 P40\n", "G92 E0\n"}) {
        INFO(last);
        CHECK(is_cut_short(heated + beads + last));
        CHECK(is_cut_short("M140 S50\n" + beads + last));
        CHECK(is_cut_short("begin_print HEAT=200\n" + beads + last));
    }
    // A macro that is called amid the beads is no end.
    CHECK(is_cut_short(heated + beads + "another_layer N=2\n" + beads + "another_layer N=3\n"));
    CHECK_FALSE(is_cut_short(heated + beads + "another_layer N=2\n" + beads + "close_down\n"));
}

TEST_CASE("a program that ends amid a line is cut short", "[ending]") {
    CHECK(is_cut_short(heated + beads + "G1 X5 Y2"));
    CHECK(is_cut_short(beads + "G1 X5.2 E0."));  // also where nothing tells of heat
    CHECK(is_cut_short("M140 S50\n" + heated + beads + "M104 S0\nM140"));
}

TEST_CASE("no generated sheet is a cut one, and whatever is cut off it, is", "[ending]") {
    int told = 0;
    for (std::uint64_t seed = 1; seed <= 60; ++seed) {
        const std::string whole = sheets::make_sheet(sheets::sane(sheets::style_from_seed(seed)));
        const Survey all = survey_of(whole);
        INFO("seed " << seed);
        CHECK_FALSE(all.ending.is_cut_short());
        if (all.early.size() < 3) continue;
        const std::uint64_t first = all.early[1].approach_begin;
        sheets::Random random(seed);
        for (int i = 0; i < 8; ++i) {
            const std::uint64_t at = first + random.next() % (all.last_bead_end - first);
            INFO("cut at " << at << " of " << whole.size());
            try {
                const bool cut = is_cut_short(whole.substr(0, at));
                CHECK(cut);
                ++told;
            } catch (const Failure& failure) {
                // Cut within a word, it cannot be read: that is told as well.
                CHECK(failure.exit() == Exit::bad_input);
            }
        }
    }
    CHECK(told > 200);
}

}  // namespace durograde::grade
