#include <catch2/catch.hpp>
#include <string>

#include "plan/load.hpp"
#include "text/diagnostic.hpp"

/// How a plan says to tell the controller things.
namespace durograde {
namespace {

std::string plan_with(const std::string& write, const std::string& tool, const std::string& rest) {
    return "format = 1\n[machine]\nreach = { x = [0, 200], y = [0, 200], z = [0, 200] }\n"
           "hottest = 280\n[machine.write]\n" +
           write + "[[tool]]\nnumber = 0\ntemperature = 190\n" + tool +
           "[[tool]]\nnumber = 1\ntemperature = 230\n" + tool +
           "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 1\n[sheet]\nplace = \"detect\"\n" +
           rest;
}

/// The code of the first fault, with its line; "" where the plan is read.
std::string fault_of(const std::string& text) {
    try {
        plan::load_text(text, "plan.toml");
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_plan);
        const Diagnostic& first = failure.diagnostics().front();
        CHECK(first.place.line > 0);
        return first.code;
    }
    return "";
}

}  // namespace

TEST_CASE("a wait needs no temperature: some controllers wait for what was set", "[plan]") {
    CHECK(fault_of(plan_with("wait = \"M116 P{tool}\"\n", "", "")) == "");
    CHECK(fault_of(plan_with("wait = \"\"\n", "", "")) == "missing-command");
    CHECK(fault_of(plan_with("wait = \"M109 T{tool} S200\"\n", "", "")) == "missing-slot");
    CHECK(fault_of(plan_with("set = \"M104 T{tool}\"\n", "", "")) == "missing-slot");
    CHECK(fault_of(plan_with("wait_cool = \"M109 T{tool} R{temperature}\"\n", "", "")) == "");
    const auto cools = [](const std::string& wait) {
        return plan::load_text(plan_with("wait = \"" + wait + "\"\n", "", ""), "plan.toml")
            .machine.write.wait_cools;
    };
    CHECK(cools("M116 P{tool}"));
    CHECK(cools("M109 T{tool} R{temperature}"));
    CHECK_FALSE(cools("M109 T{tool} S{temperature}"));
    CHECK_FALSE(cools("TOOL_WAIT NUMBER={tool} R={temperature}"));
}

TEST_CASE("a heater is needed where something is timed by it", "[plan]") {
    const std::string heat = "[heat]\nhorizon = 300\n";
    const std::string refills = "prime = { refill = true }\n";
    const std::string heater = "heater = { rise = 4.0, loss = 0.01, ambient = 25 }\n";
    CHECK(fault_of(plan_with("", "", "")) == "");
    CHECK(fault_of(plan_with("", "", heat)) == "missing-key");
    CHECK(fault_of(plan_with("", heater, heat)) == "");
    CHECK(fault_of(plan_with("", refills, "")) != "");
    CHECK(fault_of(plan_with("", "settle = 12\n", "")) == "");
    CHECK(fault_of(plan_with("", "settle = -1\n", "")) == "out-of-range");
    CHECK(fault_of(plan_with("", "retract = { length = 1, restart = -0.2 }\n", "")) ==
          "out-of-range");
}

TEST_CASE("what cannot stand around a swap is refused at its place", "[plan]") {
    // tests/grade/around_swap_test.cpp tries the forms of single lines; here it is where they
    // stand.
    const auto place_of = [](const std::string& write) {
        try {
            plan::load_text(plan_with(write, "", ""), "plan.toml");
        } catch (const Failure& failure) {
            CHECK(failure.exit() == Exit::bad_plan);
            const Place& place = failure.diagnostics().front().place;
            return std::to_string(place.line) + ":" + std::to_string(place.column);
        }
        return std::string();
    };
    CHECK(place_of("before_swap = [\"M42 P2 S1\", \"T9\"]\n") == "6:29");
    CHECK(place_of("after_swap = [\"M42 P2 S1\",\n\"G1 X900\"]\n") == "7:1");
    // Read on from the lines before it: in inches, in increments.
    CHECK(place_of("before_swap = [\"G20\", \"G1 X7\"]\n") == "");
    CHECK(place_of("before_swap = [\"G20\", \"G1 X8\"]\n") == "6:23");
    CHECK(place_of("before_swap = [\"G91\", \"G1 X-8\"]\n") == "");
    CHECK(place_of("before_swap = [\"G91\", \"G90\", \"G1 X-8\"]\n") == "6:30");
    // Selecting a tool ends both.
    CHECK(place_of("before_swap = [\"G91\"]\nafter_swap = [\"G1 X-8\"]\n") == "7:15");
    CHECK(place_of("before_swap = [\"M106\"]\nafter_swap = [\"M107\"]\n") == "");
    CHECK(place_of("before_swap = [\"M107\", \"M106\"]\nafter_swap = [\"M400\"]\n") == "6:24");
}

}  // namespace durograde
