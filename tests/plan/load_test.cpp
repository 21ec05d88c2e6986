#include "plan/load.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <variant>
#include <vector>

#include "sample_plan.hpp"

using namespace durograde;
using namespace durograde::plan_test;

namespace {

plan::Plan good() {
    return plan::load_text(good_plan(), "pads.toml");
}
plan::Plan small() {
    return plan::load_text(small_plan(), "pads.toml");
}

std::string expanded(const grammar::CommandTemplate& command) {
    grammar::SlotValues values;
    values.tool = 7;
    values.from = 8;
    values.to = 9;
    values.temperature_c = 200;
    std::string out;
    grammar::expand(command, values, out);
    return out;
}

std::vector<std::string> warning_codes(const std::string& text) {
    std::vector<std::string> codes;
    for (const Diagnostic& warning : plan::load_text(text, "pads.toml").warnings) {
        CHECK(warning.severity == Severity::warning);
        CHECK(warning.place.line > 0);
        CHECK_FALSE(warning.mend.empty());
        codes.push_back(warning.code);
    }
    return codes;
}

}  // namespace

TEST_CASE("a full plan: the machine", "[plan]") {
    const plan::Machine machine = good().machine;
    CHECK(machine.reach_x.high == 320);
    CHECK(machine.reach_y.high == 300);
    CHECK(machine.reach_z.low == -1);
    CHECK(machine.gantry_mm == 31.0);
    CHECK(machine.filament_mm == 1.8);
    CHECK(machine.filament_area_mm2() == Approx(2.5446900494077322));  // pi 0.9²
    CHECK(machine.hottest_c == 290);
    CHECK(machine.coldest_extrusion_c == 171);
    CHECK(machine.swap_time_s == 9.5);
    CHECK((machine.speed.x == 351 && machine.speed.y == 352));
    CHECK((machine.speed.z == 13 && machine.speed.e == 61));
    const plan::Accelerations a = machine.acceleration;
    CHECK((a.x == 5001 && a.y == 5002 && a.z == 301 && a.e == 5003));
    CHECK((a.print == 3001 && a.travel == 4001));
    CHECK(std::get<plan::Deviation>(machine.cornering).mm == 0.03);
    CHECK(machine.settings == std::vector<std::string>{"M8572", "M8593"});
    CHECK(machine.tells == std::vector<std::string>{"TRAY_LAMP", "M8876"});
}

TEST_CASE("a full plan: what the controller is told and what it reads", "[plan]") {
    const plan::Machine machine = good().machine;
    CHECK(expanded(machine.write.set) == "G10 P7 S200");
    CHECK(expanded(machine.write.wait) == "M109 P7 S200");
    CHECK(expanded(machine.write.select) == "T9 ; was 8");
    REQUIRE(machine.write.before_swap.size() == 1);
    CHECK(expanded(machine.write.before_swap[0].command) == "; leaving 8 at 0 0 0");
    REQUIRE(machine.write.after_swap.size() == 2);
    CHECK_FALSE(machine.read.distance_mode_sets_e);
    CHECK(machine.read.dwell_p_s == 1);
    CHECK(machine.read.fan_full == 1);
    CHECK(machine.read.speed_limit_per_s == 60);
    CHECK(machine.read.g10 == plan::RetractOrTool::tool);
    CHECK(machine.read.set_also_standby);
}

TEST_CASE("a zone may set its tool to another temperature", "[plan]") {
    std::string text = good_plan();
    text.replace(text.find("tool = 0\n"), 9, "tool = 0\ntemperature = 210\n");
    const plan::Plan read = plan::load_text(text, "two.toml");
    CHECK(std::get<plan::ToolNumber>(read.zones[0].tool).number == 0);
    CHECK(read.zones[0].temperature_c == 210);
    CHECK(read.temperature_c(read.zones[0]) == 210);
    CHECK_FALSE(read.zones[1].temperature_c);
    CHECK(read.temperature_c(read.zones[1]) == 220);
}

// 26 + 2.0 / 0.011 = 207.8 °C at full power.
TEST_CASE("a zone's temperature must be one that its tool's heater reaches", "[plan]") {
    std::string text = good_plan();
    text.replace(text.find("rise = 4.1"), 10, "rise = 2.0");
    CHECK_NOTHROW(plan::load_text(text, "weak.toml"));
    text.replace(text.find("tool = 0\n"), 9, "tool = 0\ntemperature = 210\n");
    CHECK(find_fault(faults_of(text), "contradiction").place.line ==
          line_of(text, "temperature = 210"));
}

TEST_CASE("a standby may be left to the schedule", "[plan]") {
    std::string text = good_plan();
    text.replace(text.find("standby = 151"), 13, "standby = \"auto\"");
    CHECK_FALSE(plan::load_text(text, "auto.toml").tools[0].standby_c);
}

TEST_CASE("a full plan: the tools", "[plan]") {
    const plan::Plan read = good();
    REQUIRE(read.tools.size() == 4);
    const plan::Tool& tool = read.tools[0];
    CHECK((tool.number == 0 && tool.temperature_c == 190 && tool.standby_c == 151));
    CHECK((tool.heater.rise_k_s == 4.1 && tool.heater.loss_per_s == 0.011));
    CHECK((tool.heater.ambient_c == 26 && tool.ready_k == 2.5));
    CHECK((tool.travel.retract->length_mm == 1.3 && tool.travel.retract->speed_mm_s == 36));
    CHECK(
        (tool.travel.retract->restart_mm == 0.1 && tool.travel.retract->restart_speed_mm_s == 26));
    CHECK((tool.travel.wipe->length_mm == 2.1 && tool.travel.wipe->speed_mm_s == 121 &&
           tool.travel.wipe->retract_share == 0.5));
    CHECK((tool.travel.coast_mm3 == 0.1 && tool.travel.speed_mm_s == 180 &&
           tool.travel.retract->repeats == 15));
    CHECK((tool.melt_mm3 == 35.0 && tool.prime->refills));
    CHECK(tool.travel.hop_mm == 0.4);
    CHECK((tool.fan->low == 0.2 && tool.fan->high == 0.9));
    CHECK(tool.max_flow_mm3_s == 6.5);
    CHECK_FALSE(tool.prime->at_spot);
    CHECK(tool.prime->length_mm == 0.5);
    CHECK(tool.place.line == line_of(good_plan(), "[[tool]]"));
    CHECK((read.tools[2].prime->at_spot && read.tools[2].prime->y_mm == 290));
    CHECK_FALSE(read.tools[1].travel.wipe);
    CHECK_FALSE(read.tools[1].prime);
    CHECK(read.find_tool(2) == &read.tools[2]);
    CHECK(read.find_tool(3) == nullptr);
}

TEST_CASE("a full plan: the material, by rising temperature", "[plan]") {
    const plan::Material material = good().material.value();
    CHECK(material.name == "foaming flexible, one roll");
    CHECK(material.price_per_kg == 71.5);
    REQUIRE(material.points.size() == 2);
    const plan::MaterialPoint& first = material.points[0];
    CHECK((first.temperature_c == 190 && first.flow == 1 && first.density_g_cm3 == 1.2));
    CHECK((first.hardness_shore_a == 92 && first.ooze_mm3 == 0.4));
    CHECK(first.max_flow_mm3_s == 9);
    CHECK((first.spread.flow == 0.01 && first.spread.density_g_cm3 == 0.02));
    CHECK((first.spread.hardness_shore_a == 1.5 && first.spread.ooze_mm3 == 0.1));
    CHECK(first.spread.max_flow_mm3_s == 0.5);
    CHECK(material.points[1].temperature_c == 240);
    CHECK(material.density_g_cm3 == 1.21);
    CHECK(material.filament_density_g_cm3() == 1.21);
}

TEST_CASE("a full plan: the shapes", "[plan]") {
    const std::vector<plan::Shape> shapes = good().shapes;
    REQUIRE(shapes.size() == 6);
    CHECK(shapes[0].name == "tongue");
    const auto capsule = std::get<plan::Capsule>(shapes[0].form);
    CHECK((capsule.to == plan::Vec3{0, 0, 12} && capsule.radius == 3));
    const auto sphere = std::get<plan::Sphere>(shapes[1].form);
    CHECK((sphere.center == plan::Vec3{1, 2, 3} && sphere.radius == 4));
    const auto box = std::get<plan::Box>(shapes[2].form);
    CHECK((box.size == plan::Vec3{10, 12, 14} && box.round == 1.5));
    CHECK(std::get<plan::Cylinder>(shapes[3].form).radius == 2);
    CHECK(std::get<plan::Cone>(shapes[4].form).radius == std::array<double, 2>{2, 0});
    CHECK(std::get<plan::Plane>(shapes[5].form).normal == plan::Vec3{0, 0, 1});
}

TEST_CASE("a full plan: the zones", "[plan]") {
    const std::vector<plan::Zone> zones = good().zones;
    REQUIRE(zones.size() == 4);
    CHECK(zones[0].name == "grip");
    CHECK(zones[0].where_text == "distance(tongue) <= 1.5");
    CHECK(zones[0].where.steps.size() == 3);
    CHECK(zones[0].place.line == line_of(good_plan(), "[[zone]]"));
    CHECK(std::get<plan::ToolNumber>(zones[0].tool).number == 0);
    CHECK(std::get<plan::ToolNumber>(zones[1].tool).number == 1);  // by its temperature
    CHECK(std::holds_alternative<plan::Keep>(zones[2].tool));
    CHECK(zones[3].thinnest_mm == 1.524);
    CHECK_FALSE(zones[0].travel);
    const plan::Travel& travel = zones[3].travel.value();
    CHECK((travel.retract->length_mm == 1.7 && travel.wipe->length_mm == 3.5));
    CHECK((travel.coast_mm3 == 0.3 && !travel.hop_mm && travel.speed_mm_s == 140));
}

TEST_CASE("a full plan: splitting, sheet, order, strings and heat", "[plan]") {
    const plan::Plan read = good();
    CHECK(read.name == "seedling gripper pads");
    CHECK(read.file == "pads.toml");
    CHECK(read.files == std::vector<std::string>{"pads.toml"});
    CHECK((read.split.tolerance_mm == 0.03 && read.split.shortest_mm == 0.9));
    CHECK(read.split.step_mm == 0.2);
    REQUIRE(read.sheet.places.size() == 2);
    CHECK((read.sheet.places[0].x_mm == 40 && read.sheet.places[0].turn_deg == 90));
    CHECK(read.sheet.places[1].y_mm == 42);
    CHECK(std::get<plan::ToolNumber>(read.sheet.outside).number == 1);
    CHECK_FALSE(read.order->short_tour);
    CHECK((read.strings->gap_mm == 2.5 && read.strings->bend_mm == 6.5));
    CHECK((read.order->short_strokes && read.order->begins_inside && !read.order->reverse));
    CHECK((read.heat->horizon_s == 601 && read.heat->idle_s == 31));
    CHECK(read.warnings.empty());
    CHECK_FALSE(read.asks_nothing());
}

TEST_CASE("what is absent has its default or asks for nothing", "[plan]") {
    const plan::Plan read = small();
    CHECK(read.machine.filament_mm == 1.75);
    CHECK(read.machine.coldest_extrusion_c == 170);
    CHECK(read.machine.swap_time_s == 9);
    CHECK((read.machine.speed.z == 12 && read.machine.acceleration.travel == 4000));
    CHECK(expanded(read.machine.write.set) == "M104 T7 S200");
    CHECK(expanded(read.machine.write.wait) == "M109 T7 S200");
    CHECK(expanded(read.machine.write.select) == "T9");
    CHECK(read.machine.read.distance_mode_sets_e);
    CHECK(read.machine.read.dwell_p_s == 0.001);
    CHECK(read.machine.read.fan_full == 255);
    CHECK(read.machine.read.speed_limit_per_s == 1);
    CHECK(read.machine.read.g10 == plan::RetractOrTool::retract);
    CHECK((read.split.shortest_mm == 0.8 && read.split.tolerance_mm == 0.02));
    CHECK_FALSE((read.order || read.strings || read.heat || read.material));
    CHECK(read.zones[0].name == "zone 1");
    CHECK(read.warnings.empty());
}

TEST_CASE("jerk is read in place of deviation", "[plan]") {
    const plan::Plan read = plan::load_text(
        replaced(small_plan(), "hottest", "cornering = { jerk = { x = 9 } }\nhottest"), "p.toml");
    const auto jerk = std::get<plan::Jerk>(read.machine.cornering);
    CHECK((jerk.x == 9 && jerk.y == 8 && jerk.z == 0.4 && jerk.e == 4));
}

TEST_CASE("a plan that keeps everything asks for nothing", "[plan]") {
    CHECK(small().asks_nothing());
    const std::string tool = "[[tool]]\nnumber = 0\ntemperature = 190\nheater = {}\ncoast = 0\n";
    CHECK(plan::load_text(small_plan() + tool, "p.toml").asks_nothing());
    CHECK(plan::load_text(small_plan() + "[sheet]\nplace = \"detect\"\n", "p.toml").asks_nothing());
    const std::string listed = "[sheet]\nplace = [{ x = 40, y = 40 }]\n";
    const std::vector<std::string> asking = {"[strings]\n",
                                             "[heat]\n",
                                             "[order]\n",
                                             tool + "retract = {}\n",
                                             tool + "wipe = {}\n",
                                             tool + "hop = 0.2\n",
                                             tool + "fan = [0, 1]\n",
                                             tool + "max_flow = 6\n",
                                             tool + "prime = {}\n"};
    for (const std::string& extra : asking) {
        INFO(extra);
        CHECK_FALSE(plan::load_text(small_plan() + extra + listed, "p.toml").asks_nothing());
        // Then the parts are found where none are listed.
        CHECK(plan::load_text(small_plan() + extra, "p.toml").sheet.source ==
              plan::Sheet::Source::islands);
        CHECK(plan::load_text(small_plan() + extra + listed, "p.toml").sheet.source ==
              plan::Sheet::Source::list);
    }
    CHECK_FALSE(
        plan::load_text(small_plan() + tool + listed + "outside = 0\n", "p.toml").asks_nothing());
}

TEST_CASE("what is allowed and hardly meant is a warning", "[plan]") {
    using Codes = std::vector<std::string>;
    CHECK(warning_codes(replaced(good_plan(), "where = \"true\"", "where = \"z > 0\"")) ==
          Codes{"open-end"});
    CHECK(warning_codes(replaced(good_plan(), "\"layer < 1\"", "\"true\"")) ==
          Codes{"unreachable-zone"});
    CHECK(warning_codes(replaced(good_plan(), "retract = {}\n", "")) == Codes{"no-retract"});
    const plan::Plan read =
        plan::load_text(replaced(good_plan(), "\"layer < 1\"", "\"true\""), "pads.toml");
    const std::string first = "pads.toml:" + std::to_string(line_of(good_plan(), "\"marker\"") - 1);
    CHECK(contains(read.warnings[0].text, first));
}

TEST_CASE("the command line overrides the plan", "[plan]") {
    const std::vector<plan::Override> overrides = {
        {"tool.1.temperature", "225"}, {"zone.1.temperature", "225.0"},
        {"machine.speed.x", "99"},     {"machine.cornering.jerk.x", "7"},
        {"tool.0.fan.1", "0.5"},       {"sheet.place", "[{ x = 1, y = 2 }]"},
        {"name", "\"another\""},       {"name", "'later wins'"},
        {"tool.2.wipe.length", "3"},
    };
    const plan::Plan read = plan::load_text(good_plan(), "pads.toml", overrides);
    CHECK(read.tools[1].temperature_c == 225);
    CHECK(read.tools[1].place.line > 0);
    CHECK((read.machine.speed.x == 99 && read.machine.speed.y == 352));
    CHECK(std::get<plan::Jerk>(read.machine.cornering).x == 7);
    CHECK((read.tools[0].fan->low == 0.2 && read.tools[0].fan->high == 0.5));
    CHECK(read.sheet.places.size() == 1);
    CHECK(read.name == "later wins");
    CHECK((read.tools[2].travel.wipe->length_mm == 3 &&
           read.tools[2].travel.wipe->speed_mm_s == 120));
}

TEST_CASE("an override names a tool by its number, never by its place", "[plan]") {
    std::string text = good_plan();
    // The tools' tables in another order: 2, 4, 0, 1.
    const std::size_t first = text.find("[[tool]]"), last = text.find("[[tool]]\nnumber = 2");
    const std::size_t end = text.find("[material]");
    REQUIRE(last < end);
    text = text.substr(0, first) + text.substr(last, end - last) +
           text.substr(first, last - first) + text.substr(end);
    const plan::Plan read =
        plan::load_text(text, "pads.toml", {{"tool.0.standby", "141"}, {"tool.2.standby", "143"}});
    REQUIRE(read.tools.size() == 4);
    for (const plan::Tool& tool : read.tools) {
        INFO(tool.number);
        CHECK(tool.standby_c == (tool.number == 0 ? 141 : tool.number == 2 ? 143 : 150));
    }
    text = replaced(text, "number = 0", "number = 5");
    const Diagnostic found =
        find_fault(faults_of(text, {{"tool.0.standby", "141"}}), "no-such-entry");
    CHECK(contains(found.mend, "2, 4, 5, 1"));
}

TEST_CASE("a wrong override is named by its key", "[plan]") {
    struct Row {
        const char* key;
        const char* value;
        const char* code;
    };
    const Row row = GENERATE(values<Row>({
        {"tool.0.temperatur", "190", "unknown-key"},
        {"tool.0.temperature", "\"hot\"", "wrong-type"},
        {"tool.0.temperature", "nan", "out-of-range"},
        {"tool.0.temperature", "hot", "syntax"},
        {"tool.0.temperature", "", "syntax"},
        {"tool.3.temperature", "190", "no-such-entry"},
        {"tool.first.temperature", "190", "no-such-entry"},
        {"tool..temperature", "190", "bad-override"},
        {"tool.0. temperature", "190", "bad-override"},
        {"", "190", "bad-override"},
        {"a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q", "1", "too-deep"},
        {"strings.gap", "3\nheat.idle = 4", "bad-override"},
        {"include", "[\"x.toml\"]", "bad-override"},
        {"zone.0.where", "\"distance(tonge) < 1\"", "unknown-shape"},
        {"format", "2", "wrong-format"},
    }));
    INFO(row.key << " = " << row.value);
    const Diagnostic found = find_fault(faults_of(good_plan(), {{row.key, row.value}}), row.code);
    CHECK(found.place.file == std::string("--set ") + row.key);
    CHECK(found.place.line == 0);
}

TEST_CASE("an override shows the place within its value", "[plan]") {
    const Diagnostic found =
        find_fault(faults_of(good_plan(), {{"zone.0.where", "\"hight < 1\""}}), "bad-condition");
    CHECK(found.source_line == "zone.0.where=\"hight < 1\"");
    CHECK(found.place.column == 15);
}
