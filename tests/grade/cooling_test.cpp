#include <catch2/catch.hpp>
#include <string>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// Waits for tools that are too hot, and waits that controllers hold by rules of their own.
namespace durograde {
namespace {

/// One nozzle that prints one side of each part at 245 °C and the other at 195 °C.
plan::Plan one_nozzle(const std::string& write, const sheets::Style& style) {
    std::string text =
        "format = 1\n[machine]\nreach = { x = [-5, 430], y = [-5, 390], z = [0, 340] }\n"
        "hottest = 290\n[machine.write]\nset = \"M104 S{temperature}\"\n" +
        write +
        "[[tool]]\nnumber = 0\ntemperature = 220\n"
        "heater = { rise = 4.0, loss = 0.01, ambient = 25 }\n"
        "retract = { length = 1.2, speed = 35 }\n"
        "[[zone]]\nname = \"soft\"\nwhere = \"x < 0\"\ntool = 0\ntemperature = 245\n"
        "[[zone]]\nname = \"firm\"\nwhere = \"true\"\ntool = 0\ntemperature = 195\n"
        "[sheet]\nplace = [";
    for (const sheets::Place& place : sheets::places(style))
        text +=
            "{ x = " + std::to_string(place.x_mm) + ", y = " + std::to_string(place.y_mm) + " },";
    return plan::load_text(text + "]\n", "plan.toml");
}

sheets::Style plain_style() {
    sheets::Style style;
    style.parts = 2;
    style.layers = 4;
    return sheets::sane(style);
}

long count_of(const std::string& text, const std::string& part) {
    long count = 0;
    for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1))
        ++count;
    return count;
}

/// `text` without its first line that begins so.
std::string without_line(std::string text, const std::string& begin) {
    const std::size_t at = text.find("\n" + begin);
    REQUIRE(at != std::string::npos);
    return text.erase(at, text.find('\n', at + 1) - at);
}

}  // namespace

TEST_CASE("a tool that is too hot is not printed with before it has cooled", "[grade][heat]") {
    const sheets::Style style = plain_style();
    const std::string before = sheets::make_sheet(style);
    const plan::Plan plan = one_nozzle("wait = \"M109 S{temperature}\"\n", style);
    grade::Figures figures;
    const std::string after = support::graded(plan, before, figures);
    // From 245 °C to 197 °C, 2 K above 195 °C, at a loss of 1 % a second of what is above 25 °C:
    // ln(220 / 172) / 0.01 = 24.61 s, and a second more (the cooling law of any text on heat).
    CHECK(count_of(after, "\nG4 P25") >= 2);
    CHECK(figures.waiting_s > 2 * 24.6);
    CHECK(check_tests::fallen(check_tests::judge(plan, before, after)).empty());
    // Without the dwell the wait is over at once, and the proof tells.
    const check::Verdict hot = check_tests::judge(plan, before, without_line(after, "G4 P25"));
    CHECK_FALSE(check_tests::finding(hot, "right heat").held);
}

TEST_CASE("a wait that holds while a tool cools needs no dwell", "[grade][heat]") {
    const sheets::Style style = plain_style();
    const std::string before = sheets::make_sheet(style);
    for (const char* const write :
         {"wait = \"M109 R{temperature}\"\n", "wait = \"M116 P{tool}\"\n",
          "wait_cool = \"M109 R{temperature}\"\nwait = \"M109 S{temperature}\"\n",
          "wait_cool = \"COOL_DOWN TO={temperature}\"\nwait = \"M109 S{temperature}\"\n"}) {
        CAPTURE(write);
        const plan::Plan plan = one_nozzle(write, style);
        const std::string after = support::graded(plan, before);
        CHECK(count_of(after, "\nG4 ") == 0);
        const check::Verdict verdict = check_tests::judge(plan, before, after);
        INFO(check_tests::story(verdict));
        CHECK(check_tests::fallen(verdict).empty());
    }
    const plan::Plan plan = one_nozzle("wait_cool = \"COOL_DOWN TO={temperature}\"\n", style);
    const std::string after = support::graded(plan, before);
    CHECK(count_of(after, "\nCOOL_DOWN TO=195\n") >= 2);
    CHECK(count_of(after, "\nCOOL_DOWN TO=245\n") == 0);
}

TEST_CASE("a dwell is written in the unit that the controller reads", "[grade][heat]") {
    const sheets::Style style = plain_style();
    const plan::Plan plan =
        one_nozzle("wait = \"M109 S{temperature}\"\n[machine.reads]\ndwell_p = \"s\"\n", style);
    const std::string after = support::graded(plan, sheets::make_sheet(style));
    CHECK(count_of(after, "\nG4 P26\n") >= 2);
}

TEST_CASE("what a controller holds a wait for is heated for ahead", "[grade][heat]") {
    long settled = 0;
    double more_s = 0.0, swaps = 0.0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        INFO("seed " << seed);
        const sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
        support::PlanShape shape = support::plan_shape_from_seed(seed);
        shape.heat = true;
        plan::Plan plan = support::plan_for(style, shape);
        const std::string before = sheets::make_sheet(style);
        grade::Figures plain, held;
        support::graded(plan, before, plain);
        for (plan::Tool& tool : plan.tools) tool.settle_s = 8;
        const std::string after = support::graded(plan, before, held);
        const check::Verdict verdict = check_tests::judge(plan, before, after);
        INFO(check_tests::story(verdict));
        CHECK(check_tests::fallen(verdict).empty());
        const auto changes = static_cast<double>(held.swaps + held.temperature_changes);
        CHECK(held.waiting_s >= plain.waiting_s - 1.0);
        CHECK(held.waiting_s <= plain.waiting_s + 8.0 * (changes + 1) + 1.0);
        more_s += held.waiting_s - plain.waiting_s;
        swaps += static_cast<double>(held.swaps);
        settled += held.waiting_s > plain.waiting_s ? 1 : 0;
    }
    CHECK(settled > 10);
    // Most tools stand ready for longer than that when they are taken.
    CHECK(more_s < 0.3 * 8 * swaps);
}

}  // namespace durograde
