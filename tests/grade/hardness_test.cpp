#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "grade/zone_volumes.hpp"
#include "grading.hpp"
#include "hardness_pads.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "region/parts.hpp"
#include "replay.hpp"
#include "sample_plan.hpp"
#include "text/diagnostic.hpp"
#include "text/program_input.hpp"

/// Zones that ask for a hardness, from the plan to the graded program.
namespace durograde {
namespace {

using plan_test::fault;
using plan_test::replaced;
using namespace hardness_tests;

std::set<std::pair<int, double>> printed_with(const std::string& program) {
    std::set<std::pair<int, double>> set;
    for (const support::Bead& bead : support::replay(program).beads)
        if (!bead.priming) set.emplace(bead.tool, bead.set_point_c);
    return set;
}

}  // namespace

// The same as set_points_test has by hand: 30, 20 and 50 % of the bead, two tools.
TEST_CASE("wishes are answered by how much is printed of each", "[hardness]") {
    const std::string ranges = tool(0, "range = [190, 250]") + tool(1, "range = [190, 250]");
    const plan::Plan plan = plan::load_text(plan_text(ranges), "pads.toml");
    grade::Figures figures;
    const std::string after = support::graded(plan, two_pads(), figures);
    CHECK(printed_with(after) == std::set<std::pair<int, double>>{{0, 202}, {1, 246}});
    CHECK(after.find("; durograde: zone 1 by T0 at 202\n") != std::string::npos);
    CHECK(after.find("; durograde: zone 2 by T0 at 202\n") != std::string::npos);
    CHECK(after.find("; durograde: zone 3 by T1 at 246\n") != std::string::npos);
    REQUIRE(figures.zones.size() == 3);
    CHECK(figures.zones[1].asked_shore_a == 80);
    CHECK(figures.zones[1].hardness_shore_a == Approx(86));
    CHECK((figures.zones[2].tool == 1 && figures.zones[2].temperature_c == 246));
}

// What a plan that names the tools and temperatures itself makes of it, line by line.
TEST_CASE("a plan by hardness makes what one by temperature makes", "[hardness]") {
    const std::string own = tool(0, "temperature = 202") + tool(1, "temperature = 246");
    const std::string by_tool = replaced(
        replaced(replaced(zones, "hardness = 90", "tool = 0"), "hardness = 80", "tool = 0"),
        "hardness = 64", "tool = 1");
    const auto body = [](std::string text) {
        std::string rest;
        std::size_t at = 0;
        while (at < text.size()) {
            const std::size_t end = text.find('\n', at) + 1;
            const std::string line = text.substr(at, end - at);
            if (!line.starts_with("; durograde: ") && !line.starts_with("; graded")) rest += line;
            at = end;
        }
        return rest;
    };
    const std::string ranges = tool(0, "range = [190, 250]") + tool(1, "range = [190, 250]");
    const std::string heat = "[heat]\nhorizon = 300\nidle = 5\n";
    const std::string heater = "\nheater = { rise = 4, loss = 0.01, ambient = 25 }\nstandby = 150";
    const auto text = [&](const std::string& tools, const std::string& of_zones) {
        std::string heated =
            replaced(tools, "\n[[tool]]\nnumber = 1", heater + "\n[[tool]]\nnumber = 1");
        heated.insert(heated.size() - 1, heater);
        return plan_text(heated, of_zones) + heat;
    };
    const std::string one =
        support::graded(plan::load_text(text(ranges, zones), "a.toml"), two_pads());
    const std::string other =
        support::graded(plan::load_text(text(own, by_tool), "b.toml"), two_pads());
    CHECK(body(one) == body(other));
}

TEST_CASE("one nozzle is given as many temperatures as it may have", "[hardness]") {
    const auto graded = [](int set_points) {
        const std::string one =
            tool(0, fmt::format("range = [190, 250]\nset_points = {}", set_points));
        std::string text = plan_text(one);
        text = replaced(text, "hottest = 280\n",
                        "hottest = 280\n[machine.write]\nset = \"M104 S{temperature}\"\n"
                        "wait = \"M109 R{temperature}\"\n");
        grade::Figures figures;
        const std::string after =
            support::graded(plan::load_text(text, "pads.toml"), two_pads(), figures);
        std::set<double> celsius;
        for (const auto& [number, set] : printed_with(after)) celsius.insert(set);
        CHECK(figures.swaps == 0);
        CHECK((figures.temperature_changes > 1) == (set_points > 1));
        return celsius;
    };
    CHECK(graded(3) == std::set<double>{194, 214, 246});
    CHECK(graded(2) == std::set<double>{202, 246});
    // The mean of all: 0.3 · 90 + 0.2 · 80 + 0.5 · 64 = 75, at 224 °C.
    CHECK(graded(1) == std::set<double>{224});
}

TEST_CASE("tools that stand at a temperature of their own answer wishes too", "[hardness]") {
    const std::string tools = tool(0, "temperature = 190") + tool(1, "temperature = 230");
    const std::string after =
        support::graded(plan::load_text(plan_text(tools), "pads.toml"), two_pads());
    // 92 and 72 are to be had: 90 takes 92, 80 and 64 take 72.
    CHECK(printed_with(after) == std::set<std::pair<int, double>>{{0, 190}, {1, 230}});
    CHECK(after.find("; durograde: zone 2 by T1 at 230\n") != std::string::npos);
}

// 20 mm lines of 0.7 mm of filament, 2.405 mm² thick, 11 a layer, 2 layers, 2 parts: 74.08 mm³.
TEST_CASE("how much lies in each zone is told before a line is written", "[hardness]") {
    const std::string ranges = tool(0, "range = [190, 250]");
    const plan::Plan plan = plan::load_text(plan_text(ranges), "pads.toml");
    const std::string program = two_pads();
    const plan_test::Folder folder;
    ProgramInput input = ProgramInput::open(folder.write("pads.gcode", program));
    LineSource source = input.first_reading();
    grade::Survey survey =
        grade::survey(source, program::Dialect::of(plan), plan.machine, plan.sheet, true);
    survey.places =
        std::get<region::Found>(region::place_parts(plan.sheet, *survey.footprint, survey.labels))
            .places;
    const std::vector<double> mm3 = grade::zone_volumes(plan, survey, "pads.gcode");
    const double all = 0.7 * plan.machine.filament_area_mm2() * 11 * 2 * 2;
    REQUIRE(mm3.size() == 3);
    CHECK(mm3[0] == Approx(0.3 * all).epsilon(1e-5));
    CHECK(mm3[1] == Approx(0.2 * all).epsilon(1e-5));
    CHECK(mm3[2] == Approx(0.5 * all).epsilon(1e-5));
}

TEST_CASE("what cannot be asked for in hardness is told at its place", "[hardness][plan]") {
    const std::string ranges = tool(0, "range = [190, 250]") + tool(1, "range = [190, 250]");
    const std::string good = plan_text(ranges);
    CHECK_NOTHROW(plan::load_text(good, "pads.toml"));
    struct Row {
        const char *from, *to, *code, *says;
    };
    const Row row = GENERATE(values<Row>({
        {"hardness = 64", "hardness = 61", "out-of-range", "Shore A 62 to 92"},
        {"hardness = 64", "hardness = 93", "out-of-range", "Shore A 62 to 92"},
        {"hardness = 64", "hardness = nan", "out-of-range", "above 0"},
        {"hardness = 64", "hardness = 101", "out-of-range", "at most 100"},
        {"hardness = 64", "hardness = 64\ntool = 0", "conflict", "the one that is meant"},
        {"hardness = 64", "hardness = 64\nsteady_flow = [1, 2]", "conflict", "to the tools"},
        {"hardness = 64", "hardness = 64\nhop = 0.4", "conflict", "to the tools"},
        {"hardness = 64", "tool = 0", "conflict", "ask for a `hardness`"},
        {"hardness = 64", "temperature = 190", "no-tool-for-zone", "from 190 to 250"},
        {"hardness = 62", "hardness = 92", "twice-as-hard", "Shore A 92 at 190 °C and at 250 °C"},
        {"range = [190, 250]", "range = [250, 190]", "out-of-range", "falls"},
        {"range = [190, 250]", "range = [190, 251]", "out-of-range", "190 to 250"},
        {"range = [190, 250]", "range = [160, 250]", "out-of-range", "coldest_extrusion"},
        {"range = [190, 250]", "range = [190, 300]", "out-of-range", "hottest"},
        {"range = [190, 250]", "range = [190]", "wrong-count", "2 numbers"},
        {"range = [190, 250]", "range = [190, 250]\ntemperature = 200", "conflict", "the one"},
        {"range = [190, 250]", "range = [190, 250]\nset_points = 0", "out-of-range", "at least 1"},
        {"range = [190, 250]", "range = [190, 250]\nset_points = 1.5", "wrong-type", "point"},
        {"range = [190, 250]", "range = [190, 250]\nstandby = 200", "out-of-range", "may be 190"},
        {"range = [190, 250]", "temperature = 190\nset_points = 2", "conflict", "range ="},
        {"range = [190, 250]", "range = [190, 250]\nheater = { rise = 2, loss = 0.01 }",
         "contradiction", "never reaches"},
    }));
    const std::string text = replaced(good, row.from, row.to);
    const Diagnostic found = fault(text, row.code);
    INFO(row.to << ": " << format(found));
    CHECK((found.text + "; " + found.mend).find(row.says) != std::string::npos);
    CHECK(found.place.line > 0);
    CHECK(found.place.column > 0);
}

TEST_CASE("a hardness cannot be asked for where none was measured", "[hardness][plan]") {
    const std::string good = plan_text(tool(0, "range = [190, 250]"));
    std::string soft = replaced(good, "hardness = 92\n", "");
    soft = replaced(soft, "hardness = 62\n", "");
    CHECK(fault(soft, "no-hardness").mend.find("measure `hardness`") != std::string::npos);
    const std::string none = replaced(good, card, "");
    CHECK(fault(none, "no-hardness").place.line > 0);
    fault(replaced(good, tool(0, "range = [190, 250]"), ""), "no-tool-for-zone");
}

// Zone `pad` may get tool 1, whose hop zone `grip` would have changed.
TEST_CASE("a zone changes no tool that wishes may share", "[hardness][plan]") {
    const std::string tools = tool(0, "temperature = 194") + tool(1, "range = [190, 250]");
    const std::string named = replaced(zones, "hardness = 90", "tool = 0");
    CHECK_NOTHROW(plan::load_text(plan_text(tools, named), "pads.toml"));
    fault(plan_text(tools, replaced(named, "tool = 0", "tool = 0\nhop = 0.3")), "conflict");
    fault(plan_text(tools, replaced(named, "tool = 0", "tool = 0\nsteady_flow = [1, 2]")),
          "conflict");
}

TEST_CASE("a card that is no curve is told by itself, whatever is asked of it",
          "[hardness][plan]") {
    const std::string tools = tool(0, "range = [190, 250]");
    const std::string ask = "[gradient]\nhardness = \"75 - x\"\n";
    for (const std::string& of_zones : {std::string(zones), ask}) {
        fault(replaced(plan_text(tools, of_zones), "temperature = 250", "temperature = 190"),
              "duplicate");
        const std::string one = replaced(
            plan_text(tools, of_zones),
            "[[material.point]]\ntemperature = 250\nflow = 0.5\ndensity = 0.6\nhardness = 62\n",
            "");
        fault(one, "missing-key");
        fault(replaced(plan_text(tools, of_zones), "temperature = 250", "temperature = nan"),
              "out-of-range");
    }
}

TEST_CASE("too many different wishes of too many different tools are refused", "[hardness][plan]") {
    std::string tools, of_zones;
    for (int i = 0; i < 20; ++i) tools += tool(i, fmt::format("range = [190, {}]", 230 + i));
    for (int i = 0; i < 24; ++i)
        of_zones += fmt::format("[[zone]]\nname = \"z{0}\"\nwhere = \"x < {0}\"\nhardness = {1}\n",
                                i, 65 + i);
    fault(plan_text(tools, of_zones), "too-many");
    std::string alike;
    for (int i = 0; i < 20; ++i) alike += tool(i, "range = [190, 250]");
    CHECK_NOTHROW(plan::load_text(plan_text(alike, of_zones), "pads.toml"));
}

}  // namespace durograde
