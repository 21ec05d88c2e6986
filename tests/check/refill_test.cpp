#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <utility>
#include <vector>

#include "grading.hpp"
#include "pair.hpp"
#include "plans.hpp"

/// Primes feed again what a tool has lost while it was away: neither less nor more.
namespace durograde::check_tests {
namespace {

/// Layers of one line each, long and slow, so that time is known well.
std::string before() {
    std::string text = "G21\nG90\nM83\nM104 S200\nG28\nM109 S200\n";
    for (int layer = 1; layer <= 6; ++layer)
        text += fmt::format("G1 Z{:.1f} F720\nG1 X20 Y50 F9000\nG1 X180 E8 F600\n", 0.2 * layer);
    return text;
}

plan::Plan refilling(const std::string& where,
                     const std::string& material = support::oozing_text(6, 24)) {
    const std::string prime = "prime = { " + where + "refill = true }\n";
    std::string text = support::two_tools_text(
        prime, prime,
        std::string(support::halves_text) + "[sheet]\nplace = [{ x = 100, y = 50 }]\n" + material);
    text.insert(text.find("hottest"), "swap_time = 1\n");
    return plan::load_text(text, "refill.toml");
}

/// Of the last prime, all of it beyond `length_mm` is fed `times` over.
std::string with_refill(std::string after, double length_mm, double times) {
    const std::string begins = "; durograde: prime begins\nG1 E";
    const std::size_t at = after.rfind(begins) + begins.size();
    const std::size_t end = after.find(' ', at);
    const double fed_mm = std::stod(after.substr(at, end - at));
    REQUIRE(fed_mm > length_mm + 0.1);
    const double changed_mm = length_mm + (fed_mm - length_mm) * times;
    return after.replace(at, end - at, fmt::format("{:.5f}", changed_mm));
}

}  // namespace

TEST_CASE("check: a prime refills what the tool has lost, neither less nor more") {
    struct Case {
        const char* where;
        double length_mm;
    };
    for (const auto& [where, length_mm] :
         {Case{"", 0.0}, Case{"where = \"start\", length = 0.5, ", 0.5},
          Case{"where = \"spot\", x = 5, y = 5, length = 0.5, ", 0.5}}) {
        CAPTURE(where);
        const plan::Plan plan = refilling(where);
        const std::string after = support::graded(plan, before());
        const auto falls = [&, length = length_mm](double times) {
            return fallen(judge(plan, before(), with_refill(after, length, times)));
        };
        CHECK(falls(1.0) == std::vector<std::string>{});
        CHECK(falls(0.0) == std::vector<std::string>{"same beads"});
        CHECK(falls(0.7) == std::vector<std::string>{"same beads"});
        CHECK(falls(2.0) == std::vector<std::string>{"same beads"});
    }
}

/// A curve through (temperature in °C, mm³ in the first minute).
std::string oozing_along(const std::vector<std::pair<int, int>>& points) {
    std::string text = "[material]\n";
    for (const auto& [celsius, mm3] : points)
        text += fmt::format("[[material.point]]\ntemperature = {}\nflow = 1.0\nooze = {}\n",
                            celsius, mm3);
    return text;
}

// Most filaments ooze the more the hotter they are, but what was measured need not say so.
TEST_CASE("check: what a tool has lost is bounded along curves that rise and fall") {
    for (const auto& points : {std::vector<std::pair<int, int>>{{190, 24}, {260, 6}},
                               {{170, 6}, {190, 24}, {210, 4}, {230, 20}, {260, 2}},
                               {{150, 30}, {175, 1}, {230, 24}}}) {
        CAPTURE(points);
        for (const char* where : {"", "where = \"start\", length = 0.5, "}) {
            CAPTURE(where);
            const double length_mm = *where == '\0' ? 0.0 : 0.5;
            const plan::Plan plan = refilling(where, oozing_along(points));
            const std::string after = support::graded(plan, before());
            const auto falls = [&](double times) {
                return fallen(judge(plan, before(), with_refill(after, length_mm, times)));
            };
            CHECK(falls(1.0) == std::vector<std::string>{});
            CHECK(falls(0.0) == std::vector<std::string>{"same beads"});
            CHECK(falls(4.0) == std::vector<std::string>{"same beads"});
        }
    }
}

// Heaters end at 425 °C: a wait for more never does. The proof must, and soon.
TEST_CASE("check: what oozes while a tool never gets hot is bounded all the same") {
    const plan::Plan plan = refilling("");
    std::string after = support::graded(plan, before());
    const std::size_t wait = after.find("M109 T0 S190");
    after.replace(wait, 12, "M104 T1 S450\nM109 T0 S450");
    const std::vector<std::string> fallen_then = fallen(judge(plan, before(), after));
    CHECK(std::count(fallen_then.begin(), fallen_then.end(), "right heat") == 1);
}

}  // namespace durograde::check_tests
