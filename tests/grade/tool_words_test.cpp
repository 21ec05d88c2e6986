#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// Commands with names of their own that name a tool.
namespace durograde {
namespace {

std::string program_with(const std::vector<std::string>& commands) {
    std::string text = "G21\nG90\nM83\nM104 S190\nG28\nM109 S190\nG1 Z0.2 F720\n";
    for (const std::string& command : commands)
        text += command + "\nG1 X40 Y50 Z0.2 F9000\nG1 X60 Y50 E1 F600\n";
    return text;
}

std::vector<Diagnostic> told(const std::vector<std::string>& commands,
                             const std::string& machine = {}) {
    std::string plan = support::two_tools_text(
        "", "", std::string(support::halves_text) + "[sheet]\nplace = [{ x = 50, y = 50 }]\n");
    plan.insert(plan.find("[[tool]]"), machine);
    grade::Figures figures;
    support::graded(plan::load_text(plan, "plan.toml"), program_with(commands), figures);
    std::vector<Diagnostic> warnings = figures.warnings;
    std::erase_if(warnings, [](const Diagnostic& w) { return w.code != "unknown-selection"; });
    return warnings;
}

}  // namespace

TEST_CASE("tools that commands with names carry are told once a command, with what teaches them",
          "[grade]") {
    const auto warnings = told({"SELECT T=1", "PICK TOOL=0 FAST=1 ; the first", "select T=0",
                                "N7 SELECT T=1 SLOW=2", "DOCK TOOL_NUMBER=1"});
    REQUIRE(warnings.size() == 3);
    CHECK(warnings[0].text.find("`SELECT T=1`") != std::string::npos);
    CHECK(warnings[0].text.find("3 lines") != std::string::npos);
    CHECK(warnings[0].place.line == 8);
    CHECK(warnings[0].mend.find("machine.write.select = \"SELECT T={to}\"") != std::string::npos);
    CHECK(warnings[1].text.find("one line") != std::string::npos);
    CHECK(warnings[1].place.line == 11);
    CHECK(warnings[1].mend.find("\"PICK TOOL={to} FAST=1\"") != std::string::npos);
    CHECK(warnings[2].mend.find("\"DOCK TOOL_NUMBER={to}\"") != std::string::npos);
}

TEST_CASE("commands with names that carry no tool, or that the plan teaches, are not told",
          "[grade]") {
    CHECK(told({"END_TRAY LINE=2", "LIGHT=1", "SET TEMPO=3 TOOLBOX=1", "TOOL_LAMP ON=1",
                "T=", "SELECT T=next", "T1"})
              .empty());
    const std::string taught = "[machine.write]\nselect = \"SELECT T={to}\"\n";
    CHECK(told({"SELECT T=1", "SELECT T=0"}, taught).empty());
    CHECK(told({"SELECT T=7"}, taught).empty());
    CHECK(told({"SELECT T=1", "PICK TOOL=1"}, taught).size() == 1);
}

}  // namespace durograde
