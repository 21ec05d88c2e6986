#include <rapidcheck.h>

#include <boost/numeric/odeint.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "heat/heater.hpp"
#include "logs.hpp"
#include "random.hpp"

/// The closed forms against the equation that they solve, dT/dt = rise·u − loss·(T − ambient),
/// integrated by Boost.Numeric.Odeint (Dormand & Prince, order 5, with error control), and against
/// the step response of a first-order system as textbooks have it.
namespace durograde {
namespace {

using heat::cooling_s;
using heat::heating_s;
using heat::temperature_after;

/// Errors of a step are kept below 1e-10 K, and some hundred steps are made.
constexpr double integrated_k = 1e-7;

/// Temperature after `seconds` at a duty of `duty`.
double integrated_c(const plan::Heater& heater, double from_c, double duty, double seconds) {
    namespace odeint = boost::numeric::odeint;
    using State = std::vector<double>;
    State celsius{from_c};
    odeint::integrate_adaptive(
        odeint::make_controlled<odeint::runge_kutta_dopri5<State>>(1e-10, 1e-12),
        [&](const State& now, State& slope, double) {
            slope[0] = heat_test::heat_slope(heater, now[0], duty);
        },
        celsius, 0.0, seconds, 0.1);
    return celsius[0];
}

plan::Heater random_heater(sheets::Random& random) {
    return {random.between(10, 80) * 0.1, random.between(2, 30) * 1e-3,
            random.between(10, 40) * 1.0};
}

}  // namespace

TEST_CASE("the temperature after an idle is what the equation integrates to", "[heat]") {
    REQUIRE(rc::check("cooling, then full power", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const plan::Heater h = random_heater(random);
        const double from_c = random.between(150, 290), idle_s = random.between(1, 1200);
        const double cold_c = integrated_c(h, from_c, 0.0, idle_s);
        RC_ASSERT(std::abs(temperature_after(h, from_c, 0, idle_s) - cold_c) < integrated_k);
        // Full power, with a set-point that is not reached.
        const double on_s = random.between(1, 60), hot_c = integrated_c(h, cold_c, 1.0, on_s);
        RC_ASSERT(std::abs(temperature_after(h, cold_c, 1e4, on_s) - hot_c) < integrated_k);
    }));
}

TEST_CASE("the time to a temperature is when the equation gets there", "[heat]") {
    REQUIRE(rc::check("up and down", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const plan::Heater h = random_heater(random);
        const double low_c = random.between(45, 150), high_c = low_c + random.between(1, 140);
        RC_PRE(h.ambient_c + h.rise_k_s / h.loss_per_s > high_c + 1);
        const double up_s = heating_s(h, low_c, high_c), down_s = cooling_s(h, high_c, low_c);
        RC_ASSERT(std::abs(integrated_c(h, low_c, 1.0, up_s) - high_c) < integrated_k);
        RC_ASSERT(std::abs(integrated_c(h, high_c, 0.0, down_s) - low_c) < integrated_k);
        // Then it is held: u = loss·(T − ambient) / rise keeps it there.
        const double held = h.loss_per_s * (high_c - h.ambient_c) / h.rise_k_s;
        const double later_s = random.between(1, 300);
        RC_ASSERT(std::abs(integrated_c(h, high_c, held, later_s) - high_c) < integrated_k);
        RC_ASSERT(temperature_after(h, low_c, high_c, up_s + later_s) == high_c);
    }));
}

/// Step response of a first-order system: after 1 to 5 time constants it has gone 63.2, 86.5, 95.0,
/// 98.2 and 99.3 % of its way (Ogata, Modern Control Engineering, ch. 5; from memory).
TEST_CASE("a heater steps as a first-order system does", "[heat]") {
    const plan::Heater h{4.0, 0.010,
                         25.0};  // a time constant of 100 s, 400 K above ambient at last
    const std::vector<double> shares = {0.632, 0.865, 0.950, 0.982, 0.993};
    for (std::size_t i = 0; i < shares.size(); ++i) {
        const double seconds = 100.0 * static_cast<double>(i + 1);
        INFO(seconds << " s");
        const double on = (temperature_after(h, 25, 1e4, seconds) - 25) / 400;
        const double off = (425 - temperature_after(h, 425, 0, seconds)) / 400;
        CHECK(on == Approx(shares[i]).margin(0.0005));
        CHECK(off == Approx(shares[i]).margin(0.0005));
    }
}

}  // namespace durograde
