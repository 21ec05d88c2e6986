#include "check/reader.hpp"

#include <numbers>

#include "pair.hpp"
#include "sheet.hpp"
#include "style.hpp"

/// The checker's own reading of programs.
namespace durograde::check_tests {
namespace {

using check::Kind;

constexpr const char* plain_plan =
    "format = 1\n[machine]\nreach = { x = [0, 430], y = [0, 390], z = [0, 340] }\nhottest = 280\n"
    "[[tool]]\nnumber = 0\ntemperature = 190\nheater = { rise = 4.0, loss = 0.01, ambient = 25 }\n"
    "[[tool]]\nnumber = 1\ntemperature = 210\nheater = { rise = 4.0, loss = 0.01, ambient = 25 }\n"
    "[[zone]]\nname = \"all\"\nwhere = \"true\"\ntool = 0\n"
    "[sheet]\nplace = [{ x = 50, y = 50, turn = 0 }]\n";

struct Line {
    check::Act act;
    check::State state;
    std::string command;
};

std::vector<Line> read(std::string_view text, const std::string& plan_text = plain_plan) {
    const plan::Plan plan = plan::load_text(plan_text, "plain.toml");
    const TextFile file(text);
    check::Reader reader(plan, file.fd(), "text");
    std::vector<Line> lines;
    while (reader.next())
        lines.push_back({reader.act(), reader.state(), std::string(reader.command())});
    return lines;
}

Line last(std::string_view text, const std::string& plan_text = plain_plan) {
    return read(text, plan_text).back();
}

std::vector<check::Act> beads_of(const std::string& text) {
    std::vector<check::Act> beads;
    for (const Line& line : read(text)) {
        INFO(line.command);
        REQUIRE(line.act.kind != Kind::fault);
        if (line.act.kind == Kind::bead) beads.push_back(line.act);
    }
    return beads;
}

}  // namespace

TEST_CASE("check reader: a move is read as millimetres, in any dialect") {
    const auto end_of = [](std::string_view text) { return last(text).act; };
    const check::Act plain = end_of("G1 X10 Y20 Z1 F600\nG1 X30 Y20 E1");
    CHECK(plain.kind == Kind::bead);
    CHECK(plain.from.x == 10.0);
    CHECK(plain.to.x == 30.0);
    CHECK(plain.length_mm == 20.0);
    CHECK(plain.e_mm == 1.0);
    CHECK(plain.feed_mm_min == 600.0);
    const check::Act inch = end_of("G20\nG1 X1 Y2 Z.5 F60\nG1 X2 E.5");
    CHECK(inch.to.x == Approx(50.8));
    CHECK(inch.e_mm == Approx(12.7));
    CHECK(inch.feed_mm_min == Approx(1524.0));
    const check::Act relative = end_of("G1 X10 Y20 Z1 F600\nG91\nG1 X5 Y-5 E.25");
    CHECK(relative.to.x == 15.0);
    CHECK(relative.to.y == 15.0);
    CHECK(relative.e_mm == 0.25);
    const check::Act shifted = end_of("G1 X10 Y20 Z1 F600\nG92 X0 Y0\nG1 X5 Y5 E1");
    CHECK(shifted.to.x == 15.0);
    CHECK(shifted.to.y == 25.0);
    const check::Act volume = end_of("M200 D2\nM83\nG1 X10 Y20 Z1 F600\nG1 X20 E3.14159265");
    CHECK(volume.e_mm == Approx(1.0));
    CHECK(end_of("g1x10y20z1f600\nx30e1").length_mm == 20.0);
    CHECK(end_of("G1 X10 Y20 Z1 F600\nG1 E5\nG1 X20 E5.5").e_mm == Approx(0.5));
    CHECK(end_of("G1 X10 Y20 Z1 F600\nG1 E5\nG92 E0\nG1 X20 E.5").e_mm == Approx(0.5));
}

TEST_CASE("check reader: a zero that the controller alone knows is as good as any, until a bead") {
    const std::string begin = "G90\nM83\nG1 X10 Y10 Z1 F600\n", bead = "G1 X20 E1\n";
    const std::string again = "G90\nM83\nG1 X10 Y10 Z1\nG1 X30 E1";
    for (const char* line :
         {"G54\n", "G59.3\n", "G52 X5\n", "G10 L2 P1 X5\n", "G28\nG92 X0\n", "G28\nG92\n"}) {
        INFO(line);
        CHECK(last(begin + line + again).act.kind == Kind::bead);
        CHECK(last(begin + bead + line + again).act.kind == Kind::fault);
    }
    for (const char* line : {"G92 X0\n", "G28\n", "G92 E5\n", "G53\n"}) {
        INFO(line);
        CHECK(last(begin + bead + line + again).act.kind == Kind::bead);
    }
    CHECK(last(begin + "G54\n" + bead).act.kind == Kind::fault);
    CHECK(last(begin + "G54\nG1 X10 Y10 Z1\n" + bead + "G54\nG1 X30 E1").act.kind == Kind::bead);
    CHECK(last("G1 X100 Y10 Z1 F600\nG28\nG92 X0 Y0 Z0\nG91\nG1 X5").act.to.x == 5.0);
    CHECK(last("G1 X50 Y10 Z1 F600\nG92 X0\nG92.1\nG1 X60").act.to.x == 60.0);
    CHECK(last("G1 X50 Y10 Z1 F600\nG92 X0\nG92.2\nG92.3\nG1 X10").act.to.x == 60.0);
    CHECK(last("G1 X50 Y10 Z1 F600\nG92 X0\nG92.1\nG92.3\nG1 X10").act.to.x == 10.0);
}

TEST_CASE("check reader: lines have the kinds that regrouping rests on") {
    const auto kind_of = [](const std::string& line) {
        return last("G90\nM82\nG1 X10 Y10 Z1 F600\nG1 E1\n" + line).act.kind;
    };
    CHECK(kind_of("G1 X20 E2") == Kind::bead);
    CHECK(kind_of("G0 X20") == Kind::travel);
    CHECK(kind_of("G1 X20 E1") == Kind::travel);
    CHECK(kind_of("G1 X20 E.5") == Kind::wipe);
    CHECK(kind_of("G1 E.5") == Kind::filament);
    CHECK(kind_of("G1 Z2 E2") == Kind::filament);
    CHECK(kind_of("G10") == Kind::filament);
    CHECK(kind_of("F900") == Kind::travel);
    for (const char* line : {"M201 X1", "M203 Y2", "M204 S3", "M205 X4", "M220 S90", "M221 S90",
                             "M140 S45", "M106 P1 S9"}) {
        CHECK(kind_of(line) == Kind::setting);
    }
    for (const char* line : {"M106 S100", "M107", "M106 P0 S1"}) CHECK(kind_of(line) == Kind::fan);
    for (const char* line : {"G90", "G21", "M83", "G92 E3", "M200 D1.75"})
        CHECK(kind_of(line) == Kind::frame);
    for (const char* line : {"M104 S200", "M109 T1 S200", "M116"})
        CHECK(kind_of(line) == Kind::heat);
    for (const char* line : {"G28", "G4 P5", "M190 S40", "T77", "T1 X5", "M842 M1 P31 S0", "G92 X0",
                             "/G1 X5", "HELLO A=1", "G53 G90 G40", "M486 T3", "G10 L2 P1"}) {
        INFO(line);
        CHECK(kind_of(line) == Kind::pin);
    }
    for (const char* line : {"T1", "T1 P0", "T1 M6", "M6 T1", "T1 S1"})
        CHECK(kind_of(line) == Kind::tool);
    for (const char* line : {"END_JOB", "IDLE_LAMP", "REPLY MSG=\"x\"", "EXCLUDE_TRAY NAME=a",
                             "FEED_PROBE AXIS=x", "JOG A", "ROW_3"}) {
        INFO(line);
        CHECK(kind_of(line) == Kind::pin);
    }
    for (const char* line : {"M117 X1 half way: 50%", "M105", "M300 S440 P20", "M400"})
        CHECK(kind_of(line) == Kind::nothing);
    for (const char* line : {"G5 X9 Y9 E1", "M808 L5", "O100 repeat [5]", "G1 X5 T1"}) {
        INFO(line);
        CHECK(kind_of(line) == Kind::fault);
    }
    CHECK(kind_of("M486 S2") == Kind::label);
    CHECK(kind_of("M73 P5") == Kind::progress);
    CHECK(kind_of("; G1 X5 E9") == Kind::nothing);
    CHECK(kind_of("  ") == Kind::nothing);
    for (const char* line : {"G1 X1.2.3", "G1 X", "G1 F0", "G2 X20 Y20", "G2 X20 I1 J50",
                             "M104 S900", "N5 G1 X5*1", "N5.5 G1 X5"}) {
        INFO(line);
        CHECK(kind_of(line) == Kind::fault);
    }
    CHECK(last("G1 X5 Y5 E1 F600").act.kind == Kind::fault);  // where from?
}

TEST_CASE("check reader: both ways to write an arc give the same arc") {
    const std::string begin = "G1 X10 Y10 Z1 F600\n";
    const auto arc_of = [&](const char* line) {
        const check::Act act = last(begin + line).act;
        REQUIRE(act.is_arc);
        return act.arc;
    };
    const check::Arc left = arc_of("G3 X20 Y20 I0 J10"), short_way = arc_of("G3 X20 Y20 R10");
    CHECK(left.center_x == Approx(10.0));
    CHECK(left.center_y == Approx(20.0));
    CHECK(left.sweep_rad == Approx(std::numbers::pi / 2));
    CHECK(short_way.center_x == Approx(10.0));
    CHECK(short_way.center_y == Approx(20.0));
    CHECK(short_way.sweep_rad == Approx(std::numbers::pi / 2));
    const check::Arc long_way = arc_of("G3 X20 Y20 R-10"), right = arc_of("G2 X20 Y20 R10");
    CHECK(long_way.center_x == Approx(20.0));
    CHECK(long_way.center_y == Approx(10.0));
    CHECK(long_way.sweep_rad == Approx(std::numbers::pi * 1.5));
    CHECK(right.center_x == Approx(20.0));
    CHECK(right.sweep_rad == Approx(-std::numbers::pi / 2));
    CHECK(arc_of("G2 X10 Y10 I5 J0").sweep_rad == Approx(-2 * std::numbers::pi));
    CHECK(left.at(0.5, 1, 3).x == Approx(10 + 10 * std::sqrt(0.5)));
    CHECK(left.at(0.5, 1, 3).z == Approx(2.0));
}

TEST_CASE("check reader: what the plan says of the controller is heard") {
    const std::string plan(plain_plan);
    const auto reads = [&](const char* key) { return plan + "[machine.reads]\n" + key + "\n"; };
    CHECK_FALSE(last("M82\nG91").state.frame.e_relative == false);
    CHECK_FALSE(last("M82\nG91", reads("distance_mode_sets_e = false")).state.frame.e_relative);
    CHECK(last("G4 P500").act.dwell_s == Approx(0.5));
    CHECK(last("G4 P2", reads("dwell_p = \"s\"")).act.dwell_s == Approx(2.0));
    CHECK(last("M106 S51").state.fan_duty == Approx(0.2));
    CHECK(last("M106 S0.2", reads("fan_full = 1")).state.fan_duty == Approx(0.2));
    CHECK(last("M106 S51", reads("fan_full = 1")).act.kind == Kind::fault);
    CHECK(last("G10 P1 S200", reads("g10 = \"tool\"")).state.set_point_c(1) == 200.0);
    const std::string settings =
        with(plan, "hottest = 280\n", "hottest = 280\nsettings = [\"M817\"]\n");
    CHECK(last("M817 R2", settings).act.kind == Kind::setting);
    CHECK(last("M817 R2").act.kind == Kind::pin);
}

TEST_CASE("check reader: a command comes without number, checksum and comment") {
    CHECK(last("N3 M813 P2*17 ; stay").command.empty() == false);
    CHECK(last("  M813 P2 ; stay").command == "M813 P2");
    CHECK(last("N7 MARK_TRAY ROW=2*9").command == "MARK_TRAY ROW=2");
    CHECK(last("MARK_TRAY ROW=2  ").command == "MARK_TRAY ROW=2");
}

TEST_CASE("check reader: settings are compared by what they say, not how") {
    const auto mark_of = [](std::string_view text) { return last(text).state.settings.mark(); };
    CHECK(mark_of("M204 P800 T1000") == mark_of("M204 T1000.0\nM204 P800"));
    CHECK(mark_of("M204 P800 T1000") != mark_of("M204 P800 T1001"));
    CHECK(mark_of("M204 P800\nM204 S500") == mark_of("M204 S500"));
    CHECK(mark_of("M204 S500\nM204 P800") != mark_of("M204 S500"));
    CHECK(mark_of("M220 S90\nM220 S100") == mark_of("M220 S100"));
    CHECK(mark_of("M201 X1\nM203 X1") == mark_of("M203 X1\nM201 X1"));
    CHECK(mark_of("M201 X1") != mark_of("M203 X1"));
    CHECK(mark_of("M106 P1 S9") != mark_of("M106 P2 S9"));
    CHECK(mark_of("M106 P1 S9\nM107 P1\nM106 P1 S9") == mark_of("M106 P1 S9"));
}

TEST_CASE("check reader: one sheet reads the same in every dialect") {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        sheets::Style style = sheets::style_from_seed(seed);
        style.inches = style.volumetric = style.relative_moves = style.absolute_e = false;
        style.modal = style.no_blanks = style.lower_case = style.line_numbers = style.crlf = false;
        style.arcs = sheets::Arcs::none;
        style.tools = std::min(style.tools, 2);  // that the plan knows
        style.full_circles = style.spiral = false;
        style.xy_decimals = 3;
        style.e_decimals = 5;
        style = sheets::sane(style);
        const std::vector<check::Act> plain = beads_of(sheets::make_sheet(style));
        style.relative_moves = seed % 2 == 0;
        style.absolute_e = seed % 3 == 0;
        style.modal = style.no_blanks = style.line_numbers = seed % 2 == 1;
        style.lower_case = style.crlf = style.trim_zeros = style.skip_same = seed % 3 != 1;
        style.volumetric = seed % 5 == 0;
        const std::vector<check::Act> other = beads_of(sheets::make_sheet(sheets::sane(style)));
        REQUIRE(plain.size() == other.size());
        REQUIRE_FALSE(plain.empty());
        bool same = true;
        for (std::size_t i = 0; i < plain.size(); ++i) {
            // E is rounded in the unit that it is written in.
            same = same && check::is_near(plain[i].from, other[i].from, 1e-9) &&
                   check::is_near(plain[i].to, other[i].to, 1e-9) &&
                   std::abs(plain[i].e_mm - other[i].e_mm) < 2.1e-5;
        }
        INFO("seed " << seed);
        CHECK(same);
    }
}

TEST_CASE("metres out of reach is no place, and is not gone to", "[check]") {
    const std::string start = "G28\nG90\nM83\nG1 X10 Y10 Z5 F6000\n";
    for (const std::string line : {"G1 X30000000", "G1 Y-99000000 E1", "G0 Z20000",
                                   "G2 X20 Y10 I50000000 J0 E1", "G2 X10 Y10 I50000 J0 E1"}) {
        INFO(line);
        const Line read = last(start + line);
        CHECK(read.act.kind == Kind::fault);
        CHECK(read.state.at.x == 10);
    }
    CHECK(last(start + "G1 X9000").act.kind == Kind::travel);  // judged
}

}  // namespace durograde::check_tests
