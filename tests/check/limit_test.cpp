#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "report/verdict.hpp"
#include "sheet_case.hpp"
#include "two_pads.hpp"

/// The worst value of a finding stands beside the limit that it was judged by.
namespace durograde::check_tests {
namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& file) {
    std::ifstream in(file, std::ios::binary);
    REQUIRE(in);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

/// What holds lies within its limit.
void within_limits(const check::Verdict& verdict) {
    for (const check::Finding& found : verdict.findings) {
        CAPTURE(found.name, found.worst, found.limit.value_or(-1));
        CHECK(found.held);
        if (found.limit) CHECK(found.worst <= *found.limit);
        if (!found.limit) CHECK(found.worst == 0);
    }
}

/// The finding that falls where `old_part` of the good output is replaced.
check::Finding after(const char* name, std::string_view old_part, std::string_view new_part) {
    check::Finding found = finding(judge_after(with(good_after(), old_part, new_part)), name);
    CHECK_FALSE(found.held);
    return found;
}

bool has(const std::string& text, std::string_view part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("check: what holds is within its limits, on two pads and on the corpus") {
    within_limits(judge_after(good_after()));
    int judged = 0;
    for (const auto& entry : fs::directory_iterator(fs::path(DUROGRADE_CORPUS) / "cases")) {
        const fs::path folder = entry.path();
        if (!fs::exists(folder / "graded.gcode")) continue;
        INFO(folder);
        const plan::Plan plan = plan::load((folder / "plan.toml").string());
        within_limits(
            judge(plan, text_of(folder / "sheet.gcode"), text_of(folder / "graded.gcode")));
        ++judged;
    }
    CHECK(judged > 40);
}

TEST_CASE("check: what fell is beyond its limit, on generated sheets") {
    int beyond = 0;
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const SheetCase c = make_case(sheets::style_from_seed(seed), seed);
        within_limits(judge(c.plan, c.before, c.after));
        // Other boundaries, another flow: `after` is what another plan asks for.
        const SheetCase other = make_case(sheets::style_from_seed(seed), seed + 1000);
        for (const check::Finding& found : judge(other.plan, c.before, c.after).findings) {
            CAPTURE(seed, found.name, found.worst, found.limit.value_or(-1));
            if (found.held || !found.limit) continue;
            CHECK(found.worst > *found.limit);
            ++beyond;
        }
    }
    CHECK(beyond > 60);
}

// Each limit reckoned from the plan and the program: coordinates of three decimals, E of five.
TEST_CASE("check: each tolerance is told beside what went beyond it") {
    const auto limit = [](const char* name, std::string_view old_part, std::string_view new_part) {
        const check::Finding found = after(name, old_part, new_part);
        INFO(found.first.at(0).text << "; " << report::measure(found));
        REQUIRE(found.limit.has_value());
        CHECK(found.worst > *found.limit);
        return *found.limit;
    };
    // One unit of E, 0.35 mm of it over 10 mm of bead.
    CHECK(limit("same beads", "G1 X60 Y55 E0.35000\n", "G1 X60 Y55\n") == Approx(1e-5 / 0.5 * 10));
    CHECK(limit("same beads", "; durograde: prime begins\nG1 E0.50000 F1500\n",
                "; durograde: prime begins\nG1 E0.60000 F1500\n") <= 1e-4);
    CHECK(limit("right amount", "G1 X60 Y55 E0.35000\n", "G1 X60 Y55 E0.35002\n") ==
          Approx(1.02e-5).epsilon(1e-3));
    CHECK(limit("right heat", "M109 T1 S230\n", "M109 T1 S229\n") == Approx(0.0006));
    // As near to 190 °C as a tool that is not waited for must be: 2 K where the plan says nothing.
    CHECK(limit("right heat", "M104 T0 S190\nM109 T0 S190\n", "M104 T0 S190\n") ==
          Approx(two_pads().tools[0].ready_k));
    CHECK(limit("balanced", "G1 E1.50000 F1500\n", "G1 E1.60000 F1500\n") <= 1e-4);
    CHECK(limit("protected", "G1 E-1.50000 F2100\n", "") == Approx(2.0));
    CHECK(limit("in reach", "G1 X10 Y190 F9000\n", "G1 X10 Y201.5 F9000\n") == Approx(1e-6));
    CHECK(limit("nothing hit", "G1 Z0.400 F9000\n", "G1 Z0.100 F9000\nG1 X95\nG1 Z0.400\n") ==
          Approx(0.05));
}

TEST_CASE("check: the limit of a condition without a bound is the step's") {
    // `x * x` has no slope that holds everywhere: crossings are told to `split.step`.
    const auto slack = [](const char* where) {
        std::string text = with(std::string(two_pads_plan), "x <= 0.0137", where);
        text += "[split]\nstep = 0.2\ntolerance = 0.02\n";
        const check::Verdict verdict =
            judge(plan::load_text(text, "step.toml"), two_pads_before, two_pads_after);
        const check::Finding& found = finding(verdict, "right tool");
        REQUIRE(found.limit.has_value());
        CHECK_FALSE(found.held);
        CHECK(found.worst > *found.limit);
        return *found.limit;
    };
    // And the crossing, and two units of the last decimal.
    CHECK(slack("x * x * x <= 0.5") == Approx(0.2 + 2e-4 + 0.002));
    CHECK(slack("x <= 0.5") == Approx(0.02 + 2e-4 + 0.002));
}

TEST_CASE("check: a rule of yes and no has no limit") {
    CHECK_FALSE(after("settings kept", "M204 S1200\n", "").limit.has_value());
    CHECK_FALSE(after("quiet when idle", "M104 T1 S0\n", "").limit.has_value());
}

TEST_CASE("check: of several failures the one farthest beyond its limit is told") {
    std::string text = with(good_after(), "M109 T1 S230\n", "M109 T1 S220\n");
    text = with(text, "M104 T0 S190\nM109 T0 S190\n", "M104 T0 S187\nM109 T0 S187\n");
    const check::Finding found = finding(judge_after(text), "right heat");
    CHECK(found.worst == Approx(10));
    CHECK(found.limit == std::optional(0.0006));
}

TEST_CASE("check: text and JSON show worst and limit beside each other") {
    check::Verdict verdict =
        judge_after(with(good_after(), "M104 T0 S190\nM109 T0 S190\n", "M104 T0 S190\n"));
    const check::Finding& heat = finding(verdict, "right heat");
    CHECK(report::measure(heat) == fmt::format("worst {:.4g} K, limit 2 K", heat.worst));
    CHECK(has(report::text(verdict), report::measure(heat) + "\n"));
    const auto json = nlohmann::json::parse(report::json(verdict));
    for (std::size_t i = 0; i < verdict.findings.size(); ++i) {
        const check::Finding& found = verdict.findings[i];
        const nlohmann::json& entry = json.at("checks").at(i);
        CHECK(entry.at("worst") == found.worst);
        CHECK(entry.at("limit") == (found.limit ? nlohmann::json(*found.limit) : nlohmann::json()));
    }
    // The schema of the report tells the same keys.
    const auto schema =
        nlohmann::json::parse(text_of(fs::path(DUROGRADE_CORPUS) / "../docs/report.schema.json"));
    const nlohmann::json& checks = schema.at("properties").at("checks").at("items");
    CHECK(checks.at("properties").at("limit").at("type") == nlohmann::json{"number", "null"});
    for (const auto& [key, of] : checks.at("properties").items()) {
        CAPTURE(key);
        CHECK(json.at("checks").at(0).contains(key));
        const nlohmann::json& required = checks.at("required");
        CHECK(std::find(required.begin(), required.end(), key) != required.end());
    }
    check::Finding close{"same beads", false, 0.02000004, 0.02, "mm", 1, {}};
    CHECK(report::measure(close) == "worst 0.02000004 mm, limit 0.02 mm");
    close.limit.reset();
    CHECK(report::measure(close) == "worst 0.02 mm");
}

}  // namespace durograde::check_tests
