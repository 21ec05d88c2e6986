#include <catch2/catch.hpp>
#include <string>

#include "plan/around_swap.hpp"
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
    for (const char* const unfit : {"G1 X10 F6000",
                                    "g0 Z5",
                                    "G28 Z",
                                    "T9",
                                    "M220 S100",
                                    "M221 S95",
                                    "G10",
                                    "G10 P1 R0",
                                    "M109 S200",
                                    "M104 S0",
                                    "M116",
                                    "G92 E0",
                                    "G90",
                                    "M83",
                                    "M106 S255",
                                    "",
                                    " ",
                                    "; durograde: prime begins",
                                    "M117 swap ; now",
                                    "(dock)",
                                    " M42 P1",
                                    "G54",
                                    "N5",
                                    "F6000",
                                    "X10 Y10",
                                    "T{to}",
                                    "M6 T1",
                                    "M400 G1 X5",
                                    "G 1 X5",
                                    "*5",
                                    "/M400",
                                    "{to}"}) {
        CAPTURE(unfit);
        CHECK(plan::unfit_around_swap(unfit).has_value());
        for (const char* const where : {"before_swap", "after_swap"})
            CHECK(fault_of(plan_with(std::string(where) + " = [\"M42 P2 S1\", \"" + unfit + "\"]\n",
                                     "", "")) == "unfit-line");
    }
    for (const char* const fit : {"M42 P2 S1", "DOCK_TOOL NUMBER={to}", "M98 P\"swap.g\"", "M400",
                                  "; dock", "TOOL_DOCK", "t_dock", "G4 P100"})
        CHECK_FALSE(plan::unfit_around_swap(fit).has_value());
}

}  // namespace durograde
