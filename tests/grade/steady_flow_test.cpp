#include <algorithm>
#include <catch2/catch.hpp>
#include <numbers>
#include <random>

#include "grade/flow_spread.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "replay.hpp"

/// Flows that stay within what a zone asks for, and how even they are.
namespace durograde {
namespace {

std::string pad() {
    const std::string prime = "prime = { length = 0.5, refill = true }\n";
    return support::two_tools_text("melt = 30\n" + prime, prime, R"(
[[zone]]
name = "grip"
where = "y <= 0"
tool = 1
[[zone]]
name = "pad"
where = "true"
tool = 0
steady_flow = [2.0, 4.0]
[sheet]
place = [{ x = 60, y = 60 }]
)" + support::oozing_text(0.6, 2.4));
}

/// Lines of 20 mm, each at another feed, 0.9 mm³ of bead each.
std::string lines() {
    std::string text = "G21\nG90\nM83\nM104 S200\nG28\nM109 S200\nG1 Z0.2 F720\n";
    for (int i = 0; i < 40; ++i) {
        const std::string y = std::to_string(50.0 + 0.5 * i);
        text += "G1 X50 Y" + y + " F9000\nG1 X70 E0.375 F" + std::to_string(600 + 300 * i) + "\n";
    }
    return text;
}

constexpr double area_mm2 = 1.75 * 1.75 * std::numbers::pi / 4;

}  // namespace

TEST_CASE("a zone's flow stays within its band, and every feed within it stands", "[grade]") {
    grade::Figures figures;
    const std::string output =
        support::graded(plan::load_text(pad(), "pad.toml"), lines(), figures);
    const support::Replay after = support::replay(output), before = support::replay(lines());
    REQUIRE(after.beads.size() == before.beads.size());
    int changed = 0;
    for (const support::Bead& bead : after.beads) {
        const double flow = bead.e_mm * area_mm2 * bead.feed_mm_min / 60.0 / bead.length_mm();
        const auto same =
            std::find_if(before.beads.begin(), before.beads.end(),
                         [&](const auto& b) { return b.y0 == bead.y0 && b.y1 == bead.y1; });
        REQUIRE(same != before.beads.end());
        CAPTURE(bead.y0, flow, bead.feed_mm_min, same->feed_mm_min);
        if (bead.tool == 1) {
            CHECK(bead.feed_mm_min == same->feed_mm_min);
            continue;
        }
        CHECK(flow >= 2.0 * (1 - 1e-6));
        CHECK(flow <= 4.0 * (1 + 1e-6));
        const double was = flow * same->feed_mm_min / bead.feed_mm_min;
        if (was >= 2.0 && was <= 4.0) CHECK(bead.feed_mm_min == same->feed_mm_min);
        changed += bead.feed_mm_min != same->feed_mm_min ? 1 : 0;
    }
    CHECK(changed > 5);
    const grade::FlowSpread& flow = figures.zones[1].flow;
    CHECK(flow.at(0.05) >= 1.98);
    CHECK(flow.at(0.95) <= 4.04);
    CHECK(figures.zones[1].melt_mm3 == 30);
    // What the tools lose while they are away is fed again beside what they prime.
    CHECK(figures.ooze_mm3 > 0);
    double fed_mm = 0.0;
    int primes = 0;
    const std::string begins = "; durograde: prime begins\nG1 E";
    for (std::size_t at = output.find(begins); at != std::string::npos;
         at = output.find(begins, at + 1)) {
        fed_mm += std::stod(output.substr(at + begins.size()));
        ++primes;
    }
    REQUIRE(primes > 0);
    CHECK(figures.prime_mm3 == Approx(0.5 * primes * area_mm2));
    CHECK(fed_mm > 0.5 * primes + 0.001);
    CHECK(fed_mm <= 0.5 * primes + figures.ooze_mm3 / area_mm2 + 1e-4);
}

TEST_CASE("the flow that a share of the volume stays below is told to 1 percent", "[grade]") {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> flow(0.5, 9.0), volume(0.1, 2.0);
    grade::FlowSpread spread;
    std::vector<std::pair<double, double>> all;
    double sum = 0.0;
    for (int i = 0; i < 2000; ++i) {
        all.emplace_back(flow(random), volume(random));
        spread.add(all.back().first, all.back().second);
        sum += all.back().second;
    }
    std::sort(all.begin(), all.end());
    for (const double share : {0.05, 0.5, 0.95}) {
        double below = 0.0;
        const auto at = std::find_if(all.begin(), all.end(), [&](const auto& entry) {
            below += entry.second;
            return below >= share * sum;
        });
        CHECK(spread.at(share) == Approx(at->first).epsilon(0.01));
    }
}

}  // namespace durograde
