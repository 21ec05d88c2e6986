#include "heat/heater.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "random.hpp"

/// First-order step response of a lumped mass, C·dT/dt = P − h·(T − ambient) (Incropera & DeWitt,
/// Fundamentals of Heat and Mass Transfer, ch. 5): rise = P/C, loss = h/C. The figures of power,
/// heat capacity and losses are plausible ones, no source.
namespace durograde {
namespace {

using heat::cooling_s;
using heat::heating_s;
using heat::temperature_after;

plan::Heater heater(double power_w, double capacity_j_k, double loss_w_k) {
    return {power_w / capacity_j_k, loss_w_k / capacity_j_k, 25.0};
}

plan::Heater random_heater(sheets::Random& random) {
    return {random.between(10, 80) * 0.1, random.between(2, 30) * 1e-3,
            random.between(10, 40) * 1.0};
}

}  // namespace

TEST_CASE("heat-up times", "[heat]") {
    const plan::Heater usual = heater(44, 15.3, 0.074);
    CHECK(heating_s(usual, 25, 220) == Approx(82.1711931192).epsilon(1e-9));
    CHECK(heating_s(usual, 190, 250) == Approx(31.1035035762).epsilon(1e-9));
    CHECK(heating_s(heater(44, 15.3, 0.105), 190, 250) == Approx(39.2580715460).epsilon(1e-9));
    CHECK(heating_s(heater(36, 19.4, 0.0712), 25, 210) == Approx(124.1194250585).epsilon(1e-9));
    CHECK(heating_s(heater(52, 7.35, 0.0634), 25, 220) == Approx(31.4729194698).epsilon(1e-9));
    CHECK(heating_s(heater(58, 15.3, 0.074), 180, 240) == Approx(20.7350320410).epsilon(1e-9));
    CHECK(heating_s(usual, 220, 220) == 0);
    CHECK(heating_s(usual, 230, 220) == 0);
    // Hotter than 25 + 44/0.074 = 619.59 it never gets.
    CHECK(heating_s(usual, 25, 619.60) == heat::never_s);
    CHECK(heating_s(usual, 25, 619.59) < heat::never_s);
    CHECK(heating_s(usual, 25, 700) == heat::never_s);
}

TEST_CASE("cool-down times", "[heat]") {
    CHECK(cooling_s(heater(44, 15.3, 0.074), 240, 190) == Approx(54.7269740497).epsilon(1e-9));
    CHECK(cooling_s(heater(44, 15.3, 0.105), 240, 190) == Approx(38.5694864731).epsilon(1e-9));
    CHECK(cooling_s(heater(36, 19.4, 0.0712), 250, 150) == Approx(160.1553553245).epsilon(1e-9));
    CHECK(cooling_s(heater(44, 15.3, 0.074), 190, 240) == 0);
    CHECK(cooling_s(heater(44, 15.3, 0.074), 240, 25) == heat::never_s);
}

TEST_CASE("the temperature after a time", "[heat]") {
    const plan::Heater usual = heater(44, 15.3, 0.074);
    CHECK(temperature_after(usual, 190, 400, 30) == Approx(248.0221237298).epsilon(1e-9));
    CHECK(temperature_after(usual, 190, 220, 30) == 220);
    CHECK(temperature_after(usual, 240, 190, 200) == 190);
    CHECK(temperature_after(usual, 220, 220, 1000) == 220);
    CHECK(temperature_after(usual, 240, 0, 1e6) == Approx(25).epsilon(1e-9));
    CHECK(temperature_after(usual, 25, 0, 100) == Approx(25).epsilon(1e-12));
}

TEST_CASE("off, then full on so that the idle gap ends as hot as it began", "[heat]") {
    struct Row {
        double from_c, gap_s, heat_s, lowest_c;
    };
    const std::vector<Row> rows = {{240, 60, 19.744591, 201.962645},
                                   {240, 120, 35.855889, 168.117577},
                                   {230, 30, 9.859183, 210.972140}};
    const plan::Heater usual = heater(44, 15.3, 0.074);
    for (const Row& row : rows) {
        const double lowest = temperature_after(usual, row.from_c, 0, row.gap_s - row.heat_s);
        CHECK(lowest == Approx(row.lowest_c).epsilon(1e-6));
        CHECK(heating_s(usual, lowest, row.from_c) == Approx(row.heat_s).epsilon(1e-6));
    }
}

TEST_CASE("a heater without losses goes straight up and never down", "[heat]") {
    const plan::Heater ideal{4, 0, 25};
    CHECK(heating_s(ideal, 25, 225) == Approx(50).epsilon(1e-12));
    CHECK(cooling_s(ideal, 225, 200) == heat::never_s);
    CHECK(temperature_after(ideal, 25, 300, 10) == Approx(65).epsilon(1e-12));
    CHECK(temperature_after(ideal, 200, 0, 10) == Approx(200).epsilon(1e-12));
}

TEST_CASE("ready is near the set-point, from either side", "[heat]") {
    const plan::Heater usual = heater(44, 15.3, 0.074);
    CHECK(heat::ready_s(usual, 219, 220, 2) == 0);
    CHECK(heat::ready_s(usual, 222, 220, 2) == 0);
    CHECK(heat::ready_s(usual, 190, 252, 2) == Approx(31.1035035762).epsilon(1e-9));
    CHECK(heat::ready_s(usual, 240, 188, 2) == Approx(54.7269740497).epsilon(1e-9));
}

TEST_CASE("times and temperatures undo each other", "[heat]") {
    REQUIRE(rc::check("round trip", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const plan::Heater h = random_heater(random);
        const double low = random.between(60, 150), high = low + random.between(1, 100);
        const double up = heating_s(h, low, high), down = cooling_s(h, high, low);
        if (up < 1e6) RC_ASSERT(std::abs(temperature_after(h, low, 1e4, up) - high) < 1e-6);
        RC_ASSERT(std::abs(temperature_after(h, high, 0, down) - low) < 1e-6);
        // Two stretches are as one.
        const double part = down * random.between(0, 100) * 0.01;
        const double middle = temperature_after(h, high, 0, part);
        RC_ASSERT(std::abs(temperature_after(h, middle, 0, down - part) - low) < 1e-6);
    }));
}

}  // namespace durograde
