#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "grading.hpp"
#include "pair.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "random.hpp"
#include "sheet.hpp"

/// The proof of set-points that were chosen for zones that ask for a hardness.
namespace durograde::check_tests {
namespace {

/// Zones around each part's axis; what each is printed with stands in `zones`.
std::string plan_text(const sheets::Style& style, const std::string& tools,
                      const std::vector<std::string>& zones) {
    std::string text =
        "format = 1\n[machine]\nreach = { x = [-5, 430], y = [-5, 390], z = [0, 340] }\n"
        "hottest = 290\n" +
        tools +
        "[material]\nprice = 70\n"
        "[[material.point]]\ntemperature = 190\nflow = 1.0\ndensity = 1.2\nhardness = 92\n"
        "[[material.point]]\ntemperature = 220\nflow = 0.8\ndensity = 0.96\nhardness = 80\n"
        "[[material.point]]\ntemperature = 250\nflow = 0.6\ndensity = 0.72\nhardness = 62\n"
        "[[shape]]\nname = \"tongue\"\n"
        "capsule = { from = [0, 0, -5], to = [0, 0, 40], radius = 1 }\n";
    for (std::size_t i = 0; i < zones.size(); ++i) {
        const std::string where =
            i + 1 < zones.size()
                ? fmt::format("distance(tongue) <= {}", 1.5123 + 1.3 * static_cast<double>(i))
                : std::string("true");
        text +=
            fmt::format("[[zone]]\nname = \"zone {}\"\nwhere = \"{}\"\n{}\n", i, where, zones[i]);
    }
    text += "[sheet]\noutside = \"keep\"\nplace = [\n";
    for (const sheets::Place& place : sheets::places(style)) {
        text += fmt::format("{{ x = {}, y = {}, turn = {} }},\n", place.x_mm, place.y_mm,
                            place.turn_deg);
    }
    return text + "]\n[heat]\nhorizon = 300\nidle = 10\n";
}

std::string tool_text(int number, const std::string& heat) {
    return fmt::format(
        "[[tool]]\nnumber = {}\n{}\nheater = {{ rise = 4.0, loss = 0.01, ambient = 25 }}\n"
        "retract = {{ length = 1, speed = 35, restart = 0.0, restart_speed = 25 }}\n",
        number, heat);
}

sheets::Style small_style(std::uint64_t seed) {
    sheets::Style style = sheets::style_from_seed(seed);
    style.tools = 2;
    style.line_numbers = false;
    style.layers = std::min(style.layers, 4);
    return sheets::sane(style);
}

struct Wished {
    sheets::Style style;
    plan::Plan plan;
    std::string before, after;
    std::vector<plan::SetPoint> set;  ///< as the program says
};

/// As the program says them, in lines that are read here by hand.
std::vector<plan::SetPoint> read_answers(const std::string& after) {
    std::vector<plan::SetPoint> set;
    const std::string label = "; durograde: zone ";
    for (std::size_t at = after.find(label); at != std::string::npos;
         at = after.find(label, at + 1)) {
        int zone = 0, tool = 0, celsius = 0;
        REQUIRE(std::sscanf(after.c_str() + at, "; durograde: zone %d by T%d at %d", &zone, &tool,
                            &celsius) == 3);
        set.push_back({static_cast<std::size_t>(zone - 1), tool, 1.0 * celsius});
    }
    return set;
}

/// Four wishes for two tools, one of them narrow.
Wished wished(std::uint64_t seed) {
    sheets::Random random(seed * 31 + 5);
    Wished made;
    made.style = small_style(seed);
    const std::string tools =
        tool_text(0, "range = [190, 250]") +
        tool_text(1, seed % 3 == 0 ? "range = [215, 240]" : "range = [190, 250]");
    std::vector<std::string> zones;
    for (int i = 0; i < 4; ++i)
        zones.push_back(fmt::format("hardness = {}", 62 + random.next() % 31));
    made.plan = plan::load_text(plan_text(made.style, tools, zones), "wishes.toml");
    made.before = sheets::make_sheet(made.style);
    made.after = support::graded(made.plan, made.before);
    made.set = read_answers(made.after);
    return made;
}

/// What a plan would make of it that names `set` itself, said to be for the wishes of `made`.
std::string with_set(const Wished& made, const std::vector<plan::SetPoint>& set) {
    std::string tools, answers;
    std::vector<std::string> zones(made.plan.zones.size());
    for (const plan::Tool& tool : made.plan.tools) {
        double celsius = 215;
        for (const plan::SetPoint& one : set)
            if (one.tool == tool.number) celsius = one.temperature_c;
        tools += tool_text(tool.number, fmt::format("temperature = {}", celsius));
    }
    for (const plan::SetPoint& one : set) {
        zones[one.zone] = fmt::format("tool = {}", one.tool);
        answers += fmt::format("; durograde: zone {} by T{} at {}\n", one.zone + 1, one.tool,
                               one.temperature_c);
    }
    const plan::Plan plan = plan::load_text(plan_text(made.style, tools, zones), "set.toml");
    std::string after = support::graded(plan, made.before);
    const std::size_t end = after.find("; durograde: input ");
    return after.insert(after.find('\n', end) + 1, answers);
}

bool has_volume(const Wished& made, std::size_t zone) {
    grade::Figures figures;
    support::graded(made.plan, made.before, figures);
    double all = 0.0;
    for (const grade::ZoneFigures& one : figures.zones) all += one.volume_mm3;
    return figures.zones[zone].volume_mm3 > 0.05 * all;
}

}  // namespace

TEST_CASE("check: set-points for wishes hold, and are the best by the proof's own way") {
    int rests = 0;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const Wished made = wished(seed);
        const check::Verdict verdict = judge(made.plan, made.before, made.after);
        INFO("seed " << seed << "\n" << story(verdict));
        CHECK(verdict.held());
        CHECK(made.set.size() == 4);
        // What names the same set-points itself makes the same program.
        const check::Verdict other = judge(made.plan, made.before, with_set(made, made.set));
        INFO(story(other));
        CHECK(other.held());
        rests += made.set[0].temperature_c != made.set[3].temperature_c ? 1 : 0;
    }
    CHECK(rests > 12);
}

// The program is graded anew with one set-point a few degrees off, and says so: nothing but the
// proof's own search can tell.
TEST_CASE("check: a set-point that is not the best is caught") {
    int tried = 0, caught = 0;
    std::string missed;
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
        const Wished made = wished(seed);
        const std::size_t zone = seed % 4;
        if (!has_volume(made, zone)) continue;
        std::vector<plan::SetPoint> wrong = made.set;
        const plan::SetPoint was = made.set[zone];
        const double by = seed % 2 == 0 ? 3.0 : -3.0;
        for (plan::SetPoint& one : wrong)
            if (one.tool == was.tool) one.temperature_c += by;
        const plan::Tool& tool = *made.plan.find_tool(was.tool);
        const double celsius = was.temperature_c + by;
        if (celsius < tool.range_c->low || celsius > tool.range_c->high) continue;
        ++tried;
        const auto names = fallen(judge(made.plan, made.before, with_set(made, wrong)));
        if (names == std::vector<std::string>{"right tool"}) {
            ++caught;
        } else {
            missed += fmt::format("seed {}: {} things fell\n", seed, names.size());
        }
    }
    INFO(missed);
    CHECK(tried > 15);
    CHECK(caught == tried);
}

TEST_CASE("check: what a program says of its wishes must be whole, possible and what it does") {
    const Wished made = wished(1);
    const auto line_of_zone = [&](std::size_t zone) {
        const plan::SetPoint& one = made.set[zone];
        return fmt::format("; durograde: zone {} by T{} at {}", one.zone + 1, one.tool,
                           one.temperature_c);
    };
    const auto falls_with = [&](std::string_view from, std::string_view to) {
        const auto names = fallen(judge(made.plan, made.before, with(made.after, from, to)));
        return std::find(names.begin(), names.end(), "right tool") != names.end();
    };
    const std::string first = line_of_zone(0), second = line_of_zone(1);
    CHECK(falls_with(first, ""));
    CHECK(falls_with(first, first + "\n" + first));
    CHECK(falls_with(first, "; durograde: zone 9 by T0 at 200\n" + first));
    CHECK(falls_with(first, "; durograde: zone 1 by T7 at 200"));
    CHECK(falls_with(first, "; durograde: zone 1 by T0 at 251"));
    CHECK(falls_with(first, "; durograde: zone 1 by T0 at 200.5"));
    CHECK(falls_with(first, "; durograde: zone 1 by T0 at nan"));
    CHECK(falls_with(first, "; durograde: zone 1 by T0"));
    // Two set-points of a tool that may have one.
    const plan::SetPoint& one = made.set[0];
    CHECK(falls_with(
        first, fmt::format("; durograde: zone 1 by T{} at {}", one.tool, one.temperature_c + 1)));
}

namespace {

struct Ramp {
    plan::Plan plan;
    std::string before, after;
};

/// A hardness that falls with the distance from each part's axis, for three tools.
Ramp ramp(std::uint64_t seed) {
    const sheets::Style style = small_style(seed);
    std::string tools;
    for (int i = 0; i < 3; ++i) tools += tool_text(i, "range = [190, 250]");
    Ramp made;
    made.plan = plan::load_text(
        plan_text(style, tools, {}) +
            "[gradient]\nhardness = \"clamp(91.3 - 4.1 * distance(tongue), 63, 91.3)\"\n",
        "ramp.toml");
    made.before = sheets::make_sheet(style);
    made.after = support::graded(made.plan, made.before);
    return made;
}

}  // namespace

TEST_CASE("check: steps of a gradient hold, and are the best by the proof's own way") {
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const Ramp made = ramp(seed);
        const check::Verdict verdict = judge(made.plan, made.before, made.after);
        INFO("seed " << seed << "\n" << story(verdict));
        CHECK(verdict.held());
        CHECK(made.after.find("; durograde: gradient from ") != std::string::npos);
    }
}

// The steps that the program follows are other ones, and it says so: the plan that made it names
// the same expression with tools that stand elsewhere.
TEST_CASE("check: steps of a gradient that are not the best, or not even steps, are caught") {
    int tried = 0, caught = 0;
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        const Ramp made = ramp(seed);
        const sheets::Style style = small_style(seed);
        std::string tools;
        for (int i = 0; i < 3; ++i)
            tools += tool_text(i, fmt::format("temperature = {}", 205 + 14 * i));
        const plan::Plan other = plan::load_text(
            plan_text(style, tools, {}) +
                "[gradient]\nhardness = \"clamp(91.3 - 4.1 * distance(tongue), 63, 91.3)\"\n",
            "other.toml");
        const std::string after = support::graded(other, made.before);
        REQUIRE(judge(other, made.before, after).held());
        ++tried;
        caught +=
            fallen(judge(made.plan, made.before, after)) == std::vector<std::string>{"right tool"}
                ? 1
                : 0;
    }
    CHECK(caught == tried);
    const Ramp made = ramp(3);
    const auto falls_with = [&](std::string_view from, std::string_view to) {
        const auto names = fallen(judge(made.plan, made.before, with(made.after, from, to)));
        return std::find(names.begin(), names.end(), "right tool") != names.end();
    };
    const std::size_t at = made.after.find("; durograde: gradient from ");
    const std::string first = made.after.substr(at, made.after.find('\n', at) + 1 - at);
    CHECK(falls_with(first, ""));
    CHECK(falls_with(first, first + first));
    CHECK(falls_with("; durograde: gradient from ", "; durograde: gradient from 1"));
    CHECK(falls_with("by T0 at ", "by T1 at "));
    CHECK(falls_with("by T0 at ", "by T0 at 1"));
    // A program graded by zones says no steps, one that is told of steps it was not asked for
    // falls.
    const Wished zones = wished(1);
    CHECK_FALSE(judge(zones.plan, zones.before,
                      with(zones.after, "; durograde: zone 1", first + "; durograde: zone 1"))
                    .held());
}

}  // namespace durograde::check_tests
