#include "heat/rest.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "check/rest_watch.hpp"
#include "heat/heater.hpp"
#include "logs.hpp"
#include "random.hpp"

/// The lowest standby from which a tool is hot again in time.
namespace durograde {
namespace {

using heat::Idle;
using heat::least_standby_c;
using heat::longest_rest_s;

struct Case {
    plan::Heater heater;
    Idle idle;
};

Case random_case(std::uint64_t seed) {
    sheets::Random random(seed);
    Case c;
    c.heater = {random.between(30, 80) * 0.1, random.between(3, 15) * 1e-3,
                random.between(15, 35) * 1.0};
    const double end_c = c.heater.ambient_c + c.heater.rise_k_s / c.heater.loss_per_s;
    c.idle.from_c = std::min(random.between(180, 280) * 1.0, end_c - 20);
    c.idle.ready_c = c.idle.from_c - random.between(1, 5);
    c.idle.gap_s = random.between(5, 600);
    return c;
}

/// The temperature at the end of the idle: at rest with the set-point at `rest_c`, then at full
/// power for the last `heated_s`. By small steps of the equation.
double stepped_c(const Case& c, double rest_c, double heated_s) {
    constexpr double dt = 0.002;
    double celsius = c.idle.from_c;
    for (double now_s = 0; now_s < c.idle.gap_s; now_s += dt) {
        const double set_c = now_s < c.idle.gap_s - heated_s ? rest_c : 1e6;
        celsius += heat_test::heat_slope(c.heater, celsius, celsius < set_c ? 1.0 : 0.0) * dt;
    }
    return celsius;
}

}  // namespace

// 44 W on 15.3 J/K that lose 0.074 W/K: how far it falls unheated so that it ends as hot as it
// began is worked out beside the table of heater_test.cpp.
TEST_CASE("the lowest standby is where the unheated tool must be heated again", "[heat]") {
    const plan::Heater usual{44 / 15.3, 0.074 / 15.3, 25};
    CHECK(least_standby_c(usual, {240, 240, 60}) == 202);   // 201.963
    CHECK(least_standby_c(usual, {240, 240, 120}) == 169);  // 168.118
    CHECK(least_standby_c(usual, {230, 230, 30}) == 211);   // 210.972
    // Too short to cool by a degree, or to get hot at all.
    CHECK(least_standby_c(usual, {240, 240, 0.1}) == 240);
    CHECK(least_standby_c(usual, {100, 240, 10}) == 100);
    // It ends at ambient: 25 °C, rounded up.
    CHECK(least_standby_c(usual, {240, 150, 3600}) == 26);
}

TEST_CASE("from the lowest standby a tool is ready in time, and from a lower one it is not",
          "[heat]") {
    REQUIRE(rc::check("by small steps", [](std::uint64_t seed) {
        const Case c = random_case(seed);
        const double least_c = least_standby_c(c.heater, c.idle);
        const double rest_s = longest_rest_s(c.heater, c.idle, least_c);
        RC_ASSERT(least_c >= c.heater.ambient_c && least_c <= c.idle.from_c + 1);
        // A step errs by no more than its own rise.
        const double step_k = 0.002 * (c.heater.rise_k_s + 3);
        RC_ASSERT(stepped_c(c, least_c, c.idle.gap_s - rest_s) >= c.idle.ready_c - step_k);
        // A tool that did stand two degrees lower at its latest heating would come too late: one
        // degree is the rounding.
        const double unheated_s = longest_rest_s(c.heater, c.idle, 0.0);
        const double lower_c = least_c - 2;
        if (lower_c > c.heater.ambient_c) {
            const double left_s = c.idle.gap_s - heat::cooling_s(c.heater, c.idle.from_c, lower_c);
            RC_ASSERT(heat::heating_s(c.heater, lower_c, c.idle.ready_c) > left_s);
        }
        // And it never gets below: a lower set-point is never met.
        RC_ASSERT(heat::temperature_after(c.heater, c.idle.from_c, 0, unheated_s) > least_c - 1);
    }));
}

TEST_CASE("a longer idle has a lower standby", "[heat]") {
    REQUIRE(rc::check("two idles", [](std::uint64_t seed) {
        Case c = random_case(seed);
        const double shorter = least_standby_c(c.heater, c.idle);
        c.idle.gap_s *= 1.1;
        RC_ASSERT(least_standby_c(c.heater, c.idle) <= shorter);
    }));
}

TEST_CASE("check: the checker's lowest standby is the schedule's, unrounded", "[heat]") {
    REQUIRE(rc::check("both models", [](std::uint64_t seed) {
        const Case c = random_case(seed);
        const double lowest =
            check::lowest_c(c.heater, c.idle.from_c, c.idle.ready_c, c.idle.gap_s);
        const double least_c = least_standby_c(c.heater, c.idle);
        RC_ASSERT(least_c > lowest - 1e-6);
        RC_ASSERT(least_c < lowest + 1 + 1e-6);
    }));
}

}  // namespace durograde
