#include "heat/ooze.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "heat/heater.hpp"

/// What idle tools lose, against integrals worked out on paper.
namespace durograde {
namespace {

using heat::Ooze;
using heat::temperature_after;

plan::Plan oozing(double at_190_mm3, double at_250_mm3) {
    plan::Plan plan;
    plan.machine.coldest_extrusion_c = 170;
    plan.material.emplace();
    plan.material->points = {{190, 1.0, 1.2, 92, at_190_mm3}, {250, 0.53, 0.64, 61, at_250_mm3}};
    return plan;
}

}  // namespace

TEST_CASE("in a minute at a measured temperature a tool loses what was measured", "[heat]") {
    const plan::Plan plan = oozing(0.4, 1.6);
    const Ooze ooze(plan);
    const plan::Heater heater;
    CHECK(ooze.lost_mm3(heater, {{100, 190, 190}}, 160) == Approx(0.4));
    CHECK(ooze.lost_mm3(heater, {{100, 250, 250}}, 160) == Approx(1.6));
    CHECK(ooze.lost_mm3(heater, {{100, 220, 220}}, 130) == Approx(0.5));  // half way, half a minute
    CHECK(ooze.lost_mm3(heater, {{100, 180, 180}}, 160) == Approx(0.2));  // half way to nothing
    CHECK(ooze.lost_mm3(heater, {{100, 165, 165}}, 1e6) == 0.0);
    CHECK(ooze.lost_mm3(heater, {}, 160) == 0.0);
}

// Unheated: T = ambient + (from - ambient)·exp(-loss·t), and the rate is linear in T.
TEST_CASE("while a tool cools it loses the integral of its rate", "[heat]") {
    const plan::Plan plan = oozing(0.4, 1.6);
    const Ooze ooze(plan);
    const plan::Heater heater{4.0, 0.010, 25.0};
    const double seconds = 20.0, above_c = 225.0;
    const double slope = (1.6 - 0.4) / 60.0;  // mm³ a minute and K
    const double integral =
        above_c * (1 - std::exp(-heater.loss_per_s * seconds)) / heater.loss_per_s;
    const double expected = ((0.4 + slope * (25.0 - 190.0)) * seconds + slope * integral) / 60.0;
    REQUIRE(temperature_after(heater, 250, 0, seconds) > 190);
    CHECK(ooze.lost_mm3(heater, {{0, 0, 250}}, seconds) == Approx(expected).epsilon(1e-4));
    // Off for an hour it loses no more than until it is too cold.
    const double until_cold_s = heat::cooling_s(heater, 250, 170);
    CHECK(ooze.lost_mm3(heater, {{0, 0, 250}}, 3600) ==
          Approx(ooze.lost_mm3(heater, {{0, 0, 250}}, until_cold_s)).epsilon(0.01));
}

TEST_CASE("standby and heating up again each count as hot as they are", "[heat]") {
    const plan::Plan plan = oozing(0.4, 1.6);
    const Ooze ooze(plan);
    const plan::Heater heater{4.0, 0.010, 25.0};
    const double at_60_c = temperature_after(heater, 250, 150, 60);
    const std::vector<Ooze::Moment> path = {{0, 150, 250}, {60, 250, at_60_c}};
    const double resting = ooze.lost_mm3(heater, {{0, 150, 250}}, 60);
    const double heating = ooze.lost_mm3(heater, {{60, 250, at_60_c}}, 120);
    CHECK(ooze.lost_mm3(heater, path, 120) == Approx(resting + heating));
    CHECK(ooze.lost_mm3(heater, path, 120) < ooze.lost_mm3(heater, {{0, 250, 250}}, 120));
}

TEST_CASE("a material that tells no ooze has none", "[heat]") {
    const plan::Plan dry = oozing(0, 0);
    CHECK(Ooze(dry).rate_mm3_s(250) == 0.0);
    const plan::Plan none;
    CHECK(Ooze(none).rate_mm3_s(250) == 0.0);
}

}  // namespace durograde
