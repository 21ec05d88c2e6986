#include "grade/advice.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <regex>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "sample_plan.hpp"
#include "text/diagnostic.hpp"

/// Each warning comes where it must, stays away where it must not, and goes when its advice is
/// followed.
namespace durograde {
namespace {

using grade::Figures;

const Diagnostic* find_warning(const std::vector<Diagnostic>& list, const std::string& code) {
    const auto found = std::find_if(list.begin(), list.end(),
                                    [&](const Diagnostic& one) { return one.code == code; });
    return found == list.end() ? nullptr : &*found;
}

/// Two pads of 20 mm by 4 mm and two layers around x 30 and 90, y 50. `amid` stands between the
/// pads of each layer.
std::string two_pads(const std::string& amid = "", double height_mm = 0.2) {
    std::string text = "M104 S200\nG28\nT0\nG21\nG90\nM83\nG1 X5 Y5 Z5 F6000\n";
    for (int layer = 1; layer <= 2; ++layer) {
        for (const int x : {20, 80}) {
            text += fmt::format("G1 X{} Y48 F9000\nG1 Z{:.2f} F600\n", x, layer * height_mm);
            for (int row = 0; row <= 10; ++row)
                text += fmt::format("G1 X{} Y{:.1f} F9000\nG1 X{} E0.7 F1200\n", x, 48 + row * 0.4,
                                    x + 20);
            if (x == 20) text += amid;
        }
    }
    return text + "M104 S0\n";
}

constexpr const char* places =
    "[sheet]\noutside = \"keep\"\nplace = [{ x = 30, y = 50 }, { x = 90, y = 50 }]\n";

std::vector<Diagnostic> warnings_of(const plan::Plan& plan, const std::string& program) {
    Figures figures;
    support::graded(plan, program, figures);
    return figures.warnings;
}

plan::Plan halves(const std::string& first = "", const std::string& rest = "") {
    return plan::load_text(
        support::two_tools_text(first, first, std::string(support::halves_text) + places + rest),
        "pads.toml");
}

/// An ASCII STL of a box.
std::string box_stl(const std::array<double, 3>& low, const std::array<double, 3>& high) {
    std::string text = "solid box\n";
    for (std::size_t axis = 0; axis < 3; ++axis) {
        for (const bool top : {false, true}) {
            const std::size_t u = (axis + 1) % 3, v = (axis + 2) % 3;
            std::array<std::array<double, 3>, 4> corners{};
            for (std::size_t i = 0; i < 4; ++i) {
                corners[i][axis] = top ? high[axis] : low[axis];
                corners[i][u] = i == 1 || i == 2 ? high[u] : low[u];
                corners[i][v] = i >= 2 ? high[v] : low[v];
            }
            if (!top) std::swap(corners[1], corners[3]);
            for (const auto& [a, b, c] : {std::array{0, 1, 2}, std::array{0, 2, 3}}) {
                text += "facet normal 0 0 0\nouter loop\n";
                for (const int i : {a, b, c}) {
                    const auto& p = corners[static_cast<std::size_t>(i)];
                    text += fmt::format("vertex {} {} {}\n", p[0], p[1], p[2]);
                }
                text += "endloop\nendfacet\n";
            }
        }
    }
    return text + "endsolid box\n";
}

std::string content(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace

TEST_CASE("a mesh in inches or on the bed leaves its zone empty; the advice fits it", "[advice]") {
    const plan_test::Folder folder;
    const double inch = 1 / 25.4;
    folder.write("inches.stl", box_stl({-8 * inch, -1 * inch, 0}, {8 * inch, 1 * inch, 1 * inch}));
    folder.write("on-bed.stl", box_stl({22, 49, 0}, {38, 51, 0.6}));
    folder.write("fits.stl", box_stl({-8, -1, 0}, {8, 1, 0.6}));
    const auto load = [&](const std::string& mesh) {
        const std::string text = support::two_tools_text(
            "", "",
            "[[shape]]\nname = \"core\"\nmesh = { file = " + mesh +
                " }\n[[zone]]\nname = \"core\"\nwhere = \"distance(core) <= 0\"\ntool = 0\n"
                "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 1\n" +
                places);
        return plan::load(folder.write("plan.toml", text));
    };
    CHECK(find_warning(warnings_of(load("\"fits.stl\""), two_pads()), "empty-zone") == nullptr);
    struct Row {
        const char* file;
        const char* advice;
    };
    for (const Row& row : {Row{"inches.stl", "`scale` 25.4"}, Row{"on-bed.stl", "`move` by"}}) {
        INFO(row.file);
        const auto warnings = warnings_of(load("\"" + std::string(row.file) + "\""), two_pads());
        const Diagnostic* found = find_warning(warnings, "empty-zone");
        REQUIRE(found != nullptr);
        INFO(found->text << " / " << found->mend);
        CHECK(found->text.find("`core`") != std::string::npos);
        CHECK(found->text.find("the part at x") != std::string::npos);
        REQUIRE(found->mend.find(row.advice) != std::string::npos);
        std::smatch shift;
        std::string followed = "\"" + std::string(row.file) + "\"";
        if (found->mend.find("`scale` 25.4") != std::string::npos) followed += ", scale = 25.4";
        if (std::regex_search(found->mend, shift, std::regex("`move` by (\\[[^\\]]*\\])")))
            followed += ", move = " + shift[1].str();
        CHECK(find_warning(warnings_of(load(followed), two_pads()), "empty-zone") == nullptr);
    }
}

TEST_CASE("hot tools that cross open air are warned of without [strings]", "[advice]") {
    const auto bare = warnings_of(halves(), two_pads());
    REQUIRE(find_warning(bare, "bare-travel") != nullptr);
    const std::string retract = "retract = { length = 1.0 }\n";
    CHECK(find_warning(warnings_of(halves(retract, "[strings]\n"), two_pads()), "bare-travel") ==
          nullptr);
}

TEST_CASE("max_flow that makes the print last more than twice as long is warned of", "[advice]") {
    CHECK(find_warning(warnings_of(halves("max_flow = 0.3\n"), two_pads()), "slow-flow") !=
          nullptr);
    CHECK(find_warning(warnings_of(halves("max_flow = 12\n"), two_pads()), "slow-flow") == nullptr);
}

TEST_CASE("commands amid layers are warned of where they cost swaps", "[advice]") {
    const auto warnings = warnings_of(halves(), two_pads("M8801 S1\n"));
    const Diagnostic* found = find_warning(warnings, "barriers");
    REQUIRE(found != nullptr);
    CHECK(found->mend.find("`settings`") != std::string::npos);
    CHECK(find_warning(warnings_of(halves(), two_pads()), "barriers") == nullptr);
    // The advice is followed.
    std::string text = support::two_tools_text("", "", std::string(support::halves_text) + places);
    text.replace(text.find("[machine]"), 9, "[machine]\nsettings = [\"M8801\"]");
    const std::string stated = "M8801 S0\n" + two_pads("M8801 S1\n");
    CHECK(find_warning(warnings_of(plan::load_text(text, "pads.toml"), stated), "barriers") ==
          nullptr);
    CHECK(find_warning(warnings_of(halves(), stated), "barriers") != nullptr);
}

TEST_CASE("values that no machine or material has are warned of", "[advice][plan]") {
    const auto codes = [](const std::string& from, const std::string& to) {
        const std::string good = plan_test::good_plan();
        return plan::load_text(plan_test::replaced(good, from, to), "pads.toml").warnings;
    };
    struct Row {
        const char *from, *to, *code;
        bool warns;
    };
    const Row row = GENERATE(values<Row>({
        {"rise = 4.1", "rise = 20.5", "fast-heater", true},
        {"rise = 4.1", "rise = 19.5", "fast-heater", false},
        {"length = 1.3", "length = 16", "long-retraction", true},
        {"length = 1.3", "length = 14", "long-retraction", false},
        {"flow = 0.62", "flow = 1.1", "foams-backwards", true},
        {"density = 0.75", "density = 1.3", "foams-backwards", true},
        {"flow = 0.62", "flow = 0.62", "foams-backwards", false},
    }));
    INFO(row.to);
    CHECK((find_warning(codes(row.from, row.to), row.code) != nullptr) == row.warns);
}

// What goes in comes out: 0.62 of filament of 1.21 g/cm³ makes beads of 0.7502. The spreads allow
// hypot(0.02 / density, 0.02 / 0.62), some 4.2 %; without spreads it is 3 %. Without the filament's
// density the coldest point's 1.20 counts: 0.744, and its own spread with it.
TEST_CASE("flow and density that lose or make mass are warned of", "[advice][plan]") {
    using plan_test::replaced;
    const auto warns = [](const std::string& density, bool spreads, bool filament) {
        std::string text = replaced(plan_test::good_plan(), "density = 0.75", density);
        if (!filament) text = replaced(text, "density = 1.21\n", "");
        if (!spreads) {
            for (int i = 0; i < 2; ++i) {
                const std::size_t begin = text.find("spread = {");
                text.erase(begin, text.find('\n', begin) - begin);
            }
        }
        return find_warning(plan::load_text(text, "pads.toml").warnings, "flow-against-density") !=
               nullptr;
    };
    CHECK(warns("density = 0.785", true, true));          // 4.6 % more, 4.1 % allowed
    CHECK_FALSE(warns("density = 0.779", true, true));    // 3.8 %
    CHECK(warns("density = 0.715", true, true));          // 4.7 % less, 4.3 % allowed
    CHECK_FALSE(warns("density = 0.722", true, true));    // 3.8 %
    CHECK(warns("density = 0.774", false, true));         // 3.2 %
    CHECK_FALSE(warns("density = 0.771", false, true));   // 2.8 %
    CHECK(warns("density = 0.768", false, false));        // 3.2 % over 0.744
    CHECK_FALSE(warns("density = 0.765", false, false));  // 2.8 %
}

TEST_CASE("a full block names a size that works", "[advice]") {
    const std::string folder = std::string(DUROGRADE_CORPUS) + "/cases/purge-block/";
    const std::string program = content(folder + "sheet.gcode");
    for (const char* size : {"[5, 5]", "[6, 8]"}) {
        INFO(size);
        const plan::Plan small = plan::load(folder + "plan.toml", {{"block.size", size}});
        std::string advice;
        try {
            support::graded(small, program);
        } catch (const Failure& failure) {
            REQUIRE(failure.diagnostics().front().code == "block-full");
            advice = failure.diagnostics().front().mend;
        }
        INFO(advice);
        std::smatch named;
        REQUIRE(std::regex_search(advice, named, std::regex("size = (\\[[^\\]]*\\])")));
        const plan::Plan larger = plan::load(folder + "plan.toml", {{"block.size", named[1]}});
        CHECK_NOTHROW(support::graded(larger, program));
    }
}

/// Plans of two tools whose heaters take 3 min and 4 min from cold, or as `rise` says.
plan::Plan slow_halves(const std::string& lines, const std::string& rest,
                       const std::string& zones = support::halves_text, double rise = 1.5) {
    std::string text = support::two_tools_text(lines, lines, zones + places + rest);
    for (std::size_t at = 0; (at = text.find("rise = 4.0", at)) != std::string::npos;)
        text.replace(at, 10, fmt::format("rise = {:.1f}", rise));
    for (std::size_t at = 0; (at = text.find("loss = 0.010", at)) != std::string::npos;)
        text.replace(at, 12, "loss = 0.005");
    return plan::load_text(text, "slow.toml");
}

TEST_CASE("long waits: each advice is followed, and the warning goes", "[advice]") {
    const std::string sheet = two_pads();
    const std::string temperatures =
        "[[zone]]\nname = \"grip\"\nwhere = \"x <= 0\"\ntool = 1\ntemperature = 200\n"
        "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 1\n";
    const std::string halves = support::halves_text;
    struct Plan {
        std::string lines, rest, zones;
    };
    struct Row {
        const char* advice;
        Plan before, after;
        double rise;
    };
    const std::string heat = "[heat]\n", low = "standby = 60\n", automatic = "standby = \"auto\"\n";
    const Row row = GENERATE_COPY(values<Row>({
        {"add [heat]", {"", "", halves}, {"", heat, halves}, 1.5},
        {"add [heat] to the plan, so that tools are heated ahead of need; give the zones of one",
         {"", "", temperatures},
         {"", heat, halves},
         1.5},
        {"raise heat.horizon to 300 s",
         {automatic, "[heat]\nhorizon = 60\n", halves},
         {automatic, "[heat]\nhorizon = 300\n", halves},
         1.5},
        {"fewer temperatures, or a tool each",
         {automatic, heat, temperatures},
         {automatic, heat, halves},
         1.5},
        {"`standby = \"auto\"`", {low, heat, halves}, {automatic, heat, halves}, 1.2},
    }));
    INFO(row.advice);
    const auto warnings = warnings_of(
        slow_halves(row.before.lines, row.before.rest, row.before.zones, row.rise), sheet);
    const Diagnostic* found = find_warning(warnings, "long-waits");
    REQUIRE(found != nullptr);
    INFO(found->mend);
    CHECK(found->mend.find(row.advice) != std::string::npos);
    const auto followed =
        warnings_of(slow_halves(row.after.lines, row.after.rest, row.after.zones, row.rise), sheet);
    CHECK(find_warning(followed, "long-waits") == nullptr);
}

TEST_CASE("long waits: what no plan can spare is not warned of", "[advice]") {
    // The tools take minutes to get hot once; the print itself is over in one.
    const plan::Plan plan = slow_halves("standby = \"auto\"\n", "[heat]\n");
    grade::Figures figures;
    support::graded(plan, two_pads(), figures);
    CHECK(figures.waiting_s > 0.3 * figures.after_s);
    CHECK(find_warning(figures.warnings, "long-waits") == nullptr);
    // Tools of several temperatures are not advised of where none has them.
    const auto warnings = warnings_of(slow_halves("", ""), two_pads());
    REQUIRE(find_warning(warnings, "long-waits") != nullptr);
    CHECK(find_warning(warnings, "long-waits")->mend.find("fewer") == std::string::npos);
}

}  // namespace durograde
