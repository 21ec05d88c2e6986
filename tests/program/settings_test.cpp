#include "program/settings.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <map>
#include <string>

#include "random.hpp"
#include "reading.hpp"

/// Settings said again elsewhere. M204 S sets what P and T set one by one (common practice, no
/// source).
namespace durograde {
namespace {

using Lines = std::vector<std::string>;

program::Settings settings_after(const Lines& lines) {
    program::Settings settings;
    program_test::Reading read;
    for (const std::string& line : lines) {
        const program::Step step = read(line);
        REQUIRE(step.kind == program::StepKind::setting);
        settings.apply(step, line, {});
    }
    return settings;
}

Lines way(const Lines& from, const Lines& to) {
    const program::Settings before = settings_after(from), after = settings_after(to);
    const auto lines = after.lines_after(before);
    return {lines.begin(), lines.end()};
}

/// A machine that knows nothing of families: every parameter is a value of its own.
using Machine = std::map<std::string, std::string>;

void obey(Machine& machine, const std::string& line) {
    std::vector<std::string> words;
    for (std::size_t at = 0; at < line.size();) {
        const std::size_t blank = std::min(line.find(' ', at), line.size());
        words.push_back(line.substr(at, blank - at));
        at = blank + 1;
    }
    std::string command = words[0] == "M107" ? "M106" : words[0];
    const bool other_fan = words.size() > 1 && command == "M106";
    if (other_fan) command += words[1];
    if (words[0] == "M107") machine[command + "S"] = "0";
    for (std::size_t i = other_fan ? 2 : 1; i < words.size(); ++i) {
        const std::string value = words[i].substr(1);
        if (words[0] == "M204" && words[i][0] == 'S') {
            machine["M204P"] = machine["M204T"] = value;
        } else {
            machine[command + words[i][0]] = value;
        }
    }
}

Machine machine_after(const Lines& lines) {
    Machine machine;
    for (const std::string& line : lines) obey(machine, line);
    return machine;
}

Lines random_lines(sheets::Random& random) {
    Lines lines;
    const int count = random.between(0, 8);
    for (int i = 0; i < count; ++i) {
        const auto number = [&] { return std::to_string(random.between(1, 4) * 100); };
        const Lines choice = {"M204 S" + number(),
                              "M204 P" + number(),
                              "M204 T" + number(),
                              "M204 P" + number() + " T" + number(),
                              "M201 X" + number() + " Y" + number(),
                              "M201 X" + number(),
                              "M203 Z" + number(),
                              "M205 X" + number(),
                              "M205 Y" + number() + " X" + number(),
                              "M220 S" + number(),
                              "M221 S" + number(),
                              "M140 S" + number(),
                              "M106 P1 S" + number(),
                              "M106 P2 S" + number(),
                              "M107 P1"};
        lines.push_back(choice[static_cast<std::size_t>(random.between(0, 14))]);
    }
    return lines;
}

}  // namespace

TEST_CASE("settings: one family a command, a later line replaces what it gives again",
          "[program]") {
    CHECK(way({}, {"M204 S500", "M204 S900"}) == Lines{"M204 S900"});
    CHECK(way({}, {"M201 X500 Y500", "M201 X900"}) == Lines{"M201 X500 Y500", "M201 X900"});
    CHECK(way({}, {"M201 X900", "M201 X500 Y500"}) == Lines{"M201 X500 Y500"});
    CHECK(way({"M204 S500"}, {"M204 S500", "M220 S90"}) == Lines{"M220 S90"});
    CHECK(way({"M204 S500"}, {"M204 S500"}).empty());
    CHECK(way({"M106 P1 S255"}, {"M107 P1"}) == Lines{"M107 P1"});
    CHECK(way({}, {"M106 P1 S255", "M106 P2 S127"}) == Lines{"M106 P1 S255", "M106 P2 S127"});
}

TEST_CASE("settings: M204 S covers P and T", "[program]") {
    CHECK(way({}, {"M204 P500 T900", "M204 S700"}) == Lines{"M204 S700"});
    CHECK(way({}, {"M204 S700", "M204 P500"}) == Lines{"M204 S700", "M204 P500"});
    CHECK(way({"M204 P500"}, {"M204 S700", "M204 P500"}) == Lines{"M204 S700", "M204 P500"});
}

TEST_CASE("settings: the lines lead from any state to any other", "[program]") {
    REQUIRE(rc::check("by a slow model", [](std::uint64_t seed) {
        sheets::Random random(seed);
        for (int i = 0; i < 20; ++i) {
            const Lines from = random_lines(random), to = random_lines(random);
            Machine machine = machine_after(from);
            for (const std::string& line : way(from, to)) obey(machine, line);
            // What `to` never set stays as it was: nobody knows another value for it.
            for (const auto& [parameter, value] : machine_after(to)) {
                RC_LOG() << parameter << '\n';
                RC_ASSERT(machine[parameter] == value);
            }
        }
    }));
}

TEST_CASE("settings: equal states are equal, others are not", "[program]") {
    CHECK(settings_after({"M204 S500"}) == settings_after({"M204 S300", "M204 S500"}));
    CHECK_FALSE(settings_after({"M204 S500"}) == settings_after({"M204 S300"}));
    CHECK_FALSE(settings_after({"M204 S500"}) == settings_after({}));
}

// A further command of the plan may address several drives by a word of its own.
TEST_CASE("settings: further commands keep what they say of each drive", "[program]") {
    program::Dialect dialect = program_test::trial_dialect();
    dialect.settings = {"M8572"};
    program_test::Reading read(dialect);
    program::Settings settings;
    for (const char* line : {"M8572 D0 S0.04", "M8572 D1 S0.06"})
        settings.apply(read(line), line, {});
    const auto lines = settings.lines_after({});
    CHECK(Lines(lines.begin(), lines.end()) == Lines{"M8572 D0 S0.04", "M8572 D1 S0.06"});
}

TEST_CASE("settings: a G and an M command of one number are two families", "[program]") {
    program::Dialect dialect = program_test::trial_dialect();
    dialect.settings = {"G64", "M64"};
    program_test::Reading read(dialect);
    program::Settings settings;
    for (const char* line : {"G64 P1", "M64 P2"}) settings.apply(read(line), line, {});
    const auto lines = settings.lines_after({});
    CHECK(Lines(lines.begin(), lines.end()) == Lines{"G64 P1", "M64 P2"});
}

}  // namespace durograde
