#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "plan/load.hpp"
#include "sample_plan.hpp"

using namespace durograde;
using namespace durograde::plan_test;

namespace {

struct Change {
    const char* from;
    const char* to;
    const char* after;  // where in the plan
    const char* code;
    const char* says;  // within the text or the remedy
};

/// Checks that the change is reported in the line where it stands.
void check_change(const Change& change) {
    INFO(change.from << " -> " << change.to);
    const std::string text = replaced(good_plan(), change.from, change.to, change.after);
    const Diagnostic found = fault(text, change.code);
    INFO(format(found));
    CHECK(contains(found.text + "; " + found.mend, change.says));
    const std::size_t at = text.find(change.to, text.find(change.after));
    const auto end = text.begin() + static_cast<std::ptrdiff_t>(at);
    const auto line = static_cast<std::size_t>(std::count(text.begin(), end, '\n')) + 1;
    CHECK(found.place.line >= line);
    CHECK(found.place.column > 0);
    CHECK_FALSE(found.source_line.empty());
}

}  // namespace

TEST_CASE("what this version does not have is refused, with a way without", "[plan]") {
    check_change({"[heat]", "[gradient]\nhardness = \"80 - z\"\nby = \"mixed\"\n[heat]", "",
                  "not-yet", "steps"});
}

TEST_CASE("depths beyond what is told are refused", "[plan]") {
    check_change(GENERATE(values<Change>({
        {"\"layer < 1\"", "\"depth < 6\"", "", "beyond-limit", "limit"},
        {"\"layer < 1\"", "\"layer < 1 or 7 <= depth\"", "", "beyond-limit", "limit"},
    })));
    const std::string zone = "\"layer < 1\"", limit = "limit = 5.5";
    std::string deep = replaced(good_plan(), zone, "\"depth < 6\"");
    deep = replaced(deep, limit, "limit = 6.5");
    CHECK_NOTHROW(plan::load_text(deep, "p.toml"));
}

TEST_CASE("kinds of part are counted in whole numbers, and not beside a list", "[plan]") {
    fault(small_plan() + "[sheet]\nkinds = 1.5\n", "wrong-type");
    fault(small_plan() + "[sheet]\nkinds = 0\n", "out-of-range");
    fault(small_plan() + "[sheet]\nkinds = 2\nplace = [{ x = 40, y = 40, kind = 2 }]\n",
          "contradiction");
    const auto plan = plan::load_text(
        small_plan() + "[sheet]\nplace = [{ x = 40, y = 40, kind = 3 }]\n", "p.toml");
    CHECK(plan.sheet.places.at(0).kind == 3);
}

TEST_CASE("the softest zone is watched for its thickness where the plan says nothing", "[plan]") {
    const auto thinnest = [](const std::string& text) {
        std::vector<std::optional<double>> all;
        for (const plan::Zone& zone : plan::load_text(text, "p.toml").zones)
            all.push_back(zone.thinnest_mm);
        return all;
    };
    const std::string tools = R"([[tool]]
number = 0
temperature = 190
heater = { rise = 4, loss = 0.01, ambient = 25 }
[[tool]]
number = 1
temperature = 230
heater = { rise = 4, loss = 0.01, ambient = 25 }
[[zone]]
where = "z < 1"
tool = 1
[[zone]]
where = "z < 2"
tool = 0
)";
    const std::string rest = "[[zone]]\nwhere = \"true\"\ntool = \"keep\"\n";
    const std::string machine =
        "format = 1\n[machine]\nreach = { x = [0, 9], y = [0, 9], z = [0, 9] }\nhottest = 290\n";
    using All = std::vector<std::optional<double>>;
    // Four beads of 0.4 mm; such parts are made 1.524 mm thick (60 thousandths of an inch; common
    // practice, no source), which is less than one bead away.
    CHECK(std::abs(4 * 0.4 - 1.524) < 0.4);
    CHECK(thinnest(machine + tools + rest) == All{1.6, std::nullopt, std::nullopt});
    CHECK(thinnest(machine + tools + rest + "thinnest = 2\n") == All{1.6, std::nullopt, 2.0});
    CHECK(thinnest(machine + rest) == All{std::nullopt});
}

TEST_CASE("values out of range are reported", "[plan]") {
    check_change(GENERATE(values<Change>({
        {"[0, 320]", "[320, 0]", "", "out-of-range", "lower end first"},
        {"[0, 320]", "[0, 1e9]", "", "out-of-range", "10000"},
        {"[0, 320]", "[0, 320, 1]", "", "wrong-count", "2 numbers"},
        {"hottest = 290", "hottest = 2900", "", "out-of-range", "500"},
        {"hottest = 290", "hottest = nan", "", "out-of-range", "nan"},
        {"hottest = 290", "hottest = inf", "", "out-of-range", "inf"},
        {"hottest = 290", "hottest = 0", "", "out-of-range", "above 0"},
        {"hottest = 290", "hottest = 100", "", "contradiction", "coldest_extrusion"},
        {"filament = 1.8", "filament = 0", "", "out-of-range", "above 0"},
        {"swap_time = 9.5", "swap_time = -1", "", "out-of-range", "at least 0"},
        {"x = 351", "x = 0", "speed", "out-of-range", "above 0"},
        {"print = 3001", "print = -1", "", "out-of-range", "above 0"},
        {"deviation = 0.03", "deviation = 0", "", "out-of-range", "above 0"},
        {"fan_full = 1", "fan_full = 100", "", "out-of-range", "255 or 1"},
        {"number = 0", "number = -1", "", "out-of-range", "at least 0"},
        {"number = 0", "number = 1.5", "", "wrong-type", "whole number"},
        {"temperature = 190", "temperature = 291", "", "out-of-range", "hottest"},
        {"temperature = 190", "temperature = 170", "", "out-of-range", "coldest_extrusion"},
        {"temperature = 190", "temperature = 189", "", "out-of-range", "measured"},
        {"standby = 151", "standby = \"least\"", "", "wrong-type", "\"auto\""},
        {"standby = 151", "standby = 191", "", "out-of-range", "above the tool's temperature"},
        {"rise = 4.1", "rise = 0", "", "out-of-range", "above 0"},
        {"rise = 4.1", "rise = 1.7", "", "contradiction", "never reaches"},
        {"ready = 2.5", "ready = 0", "", "out-of-range", "above 0"},
        {"length = 1.3", "length = 0", "", "out-of-range", "above 0"},
        {"restart = 0.1", "restart = -0.1", "", "out-of-range", ""},
        {"hop = 0.4", "hop = -0.4", "", "out-of-range", "at least 0"},
        {"fan = [0.2, 0.9]", "fan = [0.9, 0.2]", "", "out-of-range", "lower duty first"},
        {"fan = [0.2, 0.9]", "fan = [0.2, 1.1]", "", "out-of-range", "at most 1"},
        {"max_flow = 6.5", "max_flow = 0", "", "out-of-range", "at least 0.01"},
        {"x = 10", "x = 361", "spot", "out-of-reach", "reach"},
        {"where = \"start\"", "where = \"start\", x = 3", "", "conflict", "\"spot\""},
        {"price = 71.5", "price = -1", "", "out-of-range", "at least 0"},
        {"flow = 0.62", "flow = 0", "", "out-of-range", "above 0"},
        {"hardness = 60", "hardness = 101", "", "out-of-range", "100"},
        {"radius = 3.0", "radius = 0", "", "out-of-range", "above 0"},
        {"size = [10, 12, 14]", "size = [10, 0, 14]", "", "out-of-range", "above 0"},
        {"round = 1.5", "round = 5.1", "", "out-of-range", "at most 5"},
        {"to = [0, 0, 9]", "to = [0, 0, 0]", "cylinder", "out-of-range", "same point"},
        {"to = [0, 0, 12]", "to = [0, 0, 9]", "cone", "out-of-range", "same point"},
        {"radius = [2, 0]", "radius = [0, 0]", "", "out-of-range", "both ends"},
        {"normal = [0, 0, 1]", "normal = [0, 0, 0]", "", "out-of-range", "no direction"},
        {"thinnest = 1.524", "thinnest = 0", "", "out-of-range", "above 0"},
        {"tolerance = 0.03", "tolerance = 0.0009", "", "out-of-range", "0.001"},
        {"shortest = 0.9", "shortest = 0.02", "", "contradiction", "below `tolerance`"},
        {"step = 0.2", "step = 0.0009", "", "out-of-range", "0.001"},
        {"x = 40", "x = 361", "[sheet]", "out-of-reach", "reach"},
        {"y = 42", "y = -1", "[sheet]", "out-of-reach", "reach"},
        {"turn = 90", "turn = 361", "", "out-of-range", "360"},
        {"gap = 2.5", "gap = -1", "", "out-of-range", "at least 0"},
        {"horizon = 601", "horizon = 0", "", "out-of-range", "above 0"},
        {"idle = 31", "idle = -1", "", "out-of-range", "at least 0"},
    })));
}

TEST_CASE("what does not fit together is reported", "[plan]") {
    check_change(GENERATE(values<Change>({
        {"format = 1", "format = 2", "", "wrong-format", "format = 1"},
        {"tool = 0", "tool = 7", "[[zone]]", "unknown-tool", "0 at 190"},
        {"tool = 0", "tool = \"kep\"", "[[zone]]", "wrong-type", "\"keep\""},
        {"tool = 0", "tool = 0\ntemperature = 291", "[[zone]]", "out-of-range", "hottest"},
        {"tool = 0", "tool = 0\ntemperature = 160", "[[zone]]", "out-of-range",
         "coldest_extrusion"},
        {"tool = 0", "tool = 0\ntemperature = 189", "[[zone]]", "out-of-range", "measured"},
        {"tool = 0", "tool = \"keep\"\ntemperature = 190", "[[zone]]", "conflict", "keeps"},
        {"tool = 0", "tool = 0\nhardness = 80", "[[zone]]", "conflict", "beside"},
        {"temperature = 220", "temperature = 221", "[[zone]]", "no-tool-for-zone", "1 at 220"},
        {"outside = 1", "outside = 7", "", "unknown-tool", "0 at 190"},
        {"outside = 1", "outside = \"kept\"", "", "wrong-type", "\"keep\""},
        {"distance(tongue) <= 1.5", "distance(tonge) <= 1.5", "", "unknown-shape",
         "did you mean `tongue`"},
        {"distance(tongue) <= 1.5", "z <= 1.5 or distance(x) < 1", "", "unknown-shape",
         "the shapes are tongue"},
        {"name = \"tongue\"", "name = \"the tongue\"", "", "bad-name", "underscores"},
        {"name = \"tongue\"", "name = \"2nd\"", "", "bad-name", "underscores"},
        {"deviation = 0.03", "deviation = 0.03, jerk = {}", "", "conflict", "both"},
        {"capsule =", "sphere = { center = [0, 0, 0], radius = 1 }\ncapsule =", "", "conflict",
         "`sphere` and `capsule`"},
        {"ooze = 2.5", "", "", "incomplete-points", "`ooze`"},
        {"\"M8593\"", "\"M859.\"", "", "bad-command", "no command"},
        {"\"M8593\"", "\"G1\"", "", "bad-command", "more than set"},
        {"\"M8876\"", "\"G1\"", "", "bad-command", "more than tell"},
        {"\"M8876\"", "\"TRAY LAMP\"", "", "bad-command", "no command"},
        {"S{temperature}\"", "S{temprature}\"", "", "bad-template", "{temperature}"},
        {"S{temperature}\"", "S200\"", "", "missing-slot", "{temperature}"},
        {"S{temperature}\"", "S200\"", "wait", "missing-slot", "{temperature}"},
        {"P{tool} S", "S", "set =", "missing-slot", "{tool}"},
        {"T{to} ;", "T1 ;", "", "missing-slot", "{to}"},
        {"T{to} ;", "T{to}{tool} ;", "", "strange-slot", "{from} or {to}"},
        {"P{tool}", "P{to}", "set =", "strange-slot", "{tool}"},
        {"; leaving {from}", "; leaving {tool}", "", "strange-slot", "{from} or {to}"},
    })));
}

TEST_CASE("one tool needs no number to be heated", "[plan]") {
    const std::string text = replaced(small_plan(), "[[zone]]", R"([machine.write]
set = "M104 S{temperature}"
[[tool]]
number = 0
temperature = 200
heater = {}
[[zone]])");
    CHECK(faults_of(text).empty());
}

TEST_CASE("two of the same name are reported with both places", "[plan]") {
    struct Row {
        const char* from;
        const char* to;
        const char* after;
        const char* first;  // what the first place's line holds
    };
    const Row row = GENERATE(values<Row>({
        {"number = 1", "number = 0", "", "[[tool]]"},
        {"name = \"ball\"", "name = \"tongue\"", "", "name = \"tongue\""},
        {"name = \"blend\"", "name = \"grip\"", "", "name = \"grip\""},
        {"temperature = 240", "temperature = 190", "[material]", "[[material.point]]"},
    }));
    INFO(row.to);
    const std::string text = replaced(good_plan(), row.from, row.to, row.after);
    const Diagnostic found = fault(text, "duplicate");
    INFO(format(found));
    CHECK(contains(found.text, "pads.toml:" + std::to_string(line_of(text, row.first))));
    CHECK(found.place.line != line_of(text, row.first));
}

TEST_CASE("a condition's fault is shown at its column in the file", "[plan]") {
    const auto column = [](const std::string& where) {
        const Diagnostic found = fault(
            replaced(good_plan(), "where = \"distance(tongue) <= 1.5\"", where), "bad-condition");
        return found.source_line.substr(found.place.column - 1, 5);
    };
    CHECK(column("where = \"z < 1 and hight < 1.5\"") == "hight");
    CHECK(column("where   =   'z < 1 and hight < 1.5'") == "hight");
    CHECK(column("where = \"\"\"\n  z < 1\n  and hight < 1\"\"\"") == "hight");
    CHECK(column("where = '''z < 1 and hight < 1'''") == "hight");
    // With escapes the string itself is shown.
    CHECK(column("where = \"\\u007A < 1 and hight < 1\"") == "\"\\u00");
}

TEST_CASE("columns count bytes", "[plan]") {
    const std::string text =
        replaced(good_plan(), "heater = {}", "heater = { \"\xC3\xA4\xC3\xA4\" = 1, rize = 2 }");
    const auto faults = faults_of(text);
    REQUIRE(faults.size() == 2);
    CHECK(faults[1].source_line.substr(faults[1].place.column - 1, 4) == "rize");
}

TEST_CASE("all faults are reported at once, in the order of lines", "[plan]") {
    std::string text = replaced(good_plan(), "hottest", "hotest");
    text = replaced(text, "tool = 2", "tool = 9", "[[zone]]");
    text = replaced(text, "gap", "gab");
    const auto faults = faults_of(text);
    REQUIRE(faults.size() == 4);
    CHECK(faults[0].code == "missing-key");
    CHECK(faults[1].code == "unknown-key");
    CHECK(faults[2].code == "unknown-tool");
    CHECK(faults[3].code == "unknown-key");
    for (std::size_t i = 1; i < faults.size(); ++i)
        CHECK(faults[i].place.line >= faults[i - 1].place.line);
}
