#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "motion/clock.hpp"
#include "motion/profile.hpp"
#include "random.hpp"

namespace durograde {
namespace {

using motion::Clock;
using motion::Drive;
using motion::Move;

std::vector<Move> random_moves(sheets::Random& random) {
    std::vector<Move> moves;
    const int count = random.between(1, 30);
    for (int i = 0; i < count; ++i) {
        const double length = random.between(1, 4000) * 0.01;
        const double angle = random.between(0, 360) * std::numbers::pi / 180;
        const double feed = random.between(10, 200) * 60;
        const bool extrudes = random.chance(70);
        moves.push_back({length * std::cos(angle), length * std::sin(angle), 0,
                         extrudes ? length * 0.04 : 0.0, length, feed,
                         extrudes ? Drive::print : Drive::travel});
    }
    return moves;
}

plan::Machine random_machine(sheets::Random& random) {
    const auto any = [&](int low, int high) {
        return static_cast<double>(random.between(low, high));
    };
    plan::Machine machine;
    machine.speed = {any(20, 400), any(20, 400), any(2, 20), any(1, 60)};
    machine.acceleration = {any(200, 9000), any(200, 9000), any(50, 500),
                            any(200, 9000), any(200, 9000), any(200, 9000)};
    machine.cornering = plan::Deviation{random.between(1, 100) * 1e-3};
    if (random.chance(40)) machine.cornering = plan::Jerk{any(1, 20), any(1, 20), 0.4, any(1, 9)};
    return machine;
}

/// `machine` with one of its limits lowered.
plan::Machine lowered(plan::Machine machine, sheets::Random& random) {
    const double factor = random.between(10, 99) * 0.01;
    if (auto* jerk = std::get_if<plan::Jerk>(&machine.cornering)) {
        jerk->x *= factor;
        jerk->y *= factor;
    } else {
        std::get<plan::Deviation>(machine.cornering).mm *= factor;
    }
    double* const limits[] = {&machine.speed.x,
                              &machine.speed.y,
                              &machine.speed.e,
                              &machine.acceleration.x,
                              &machine.acceleration.y,
                              &machine.acceleration.e,
                              &machine.acceleration.print,
                              &machine.acceleration.travel};
    *limits[random.between(0, 7)] *= factor;
    return machine;
}

double seconds(const plan::Machine& machine, const std::vector<Move>& moves) {
    Clock clock(machine);
    for (const Move& move : moves) {
        clock.move(move);
        RC_ASSERT(std::isfinite(clock.now_s()));
    }
    return clock.now_s();
}

}  // namespace

TEST_CASE("a trapezoid is neither faster than its limit nor slower than from rest to rest",
          "[motion]") {
    REQUIRE(rc::check("bounds", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const double d = random.between(1, 10'000) * 0.01, v = random.between(1, 300);
        const double a = random.between(10, 9000);
        const double v0 = v * random.between(0, 100) * 0.01, v1 = v * random.between(0, 100) * 0.01;
        const double time = motion::trapezoid_s(d, v0, v1, v, a);
        RC_ASSERT(time >= d / v * (1 - 1e-12));
        if (std::abs(v1 * v1 - v0 * v0) <= 2 * a * d) {
            RC_ASSERT(time <= motion::trapezoid_s(d, 0, 0, v, a) * (1 + 1e-12));
        }
    }));
}

TEST_CASE("a trapezoid is as long as its speed integrated over its time", "[motion]") {
    REQUIRE(rc::check("numerically", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const double v = random.between(20, 200), a = random.between(100, 5000);
        const double v0 = random.between(0, 20), v1 = random.between(0, 20);
        const double d = random.between(100, 9000) * 0.01;
        RC_PRE(std::abs(v1 * v1 - v0 * v0) <= 2 * a * d);
        const double time = motion::trapezoid_s(d, v0, v1, v, a);
        constexpr int steps = 20'000;
        const double dt = time / steps;
        double way = 0;
        for (int i = 0; i < steps; ++i) {
            const double t = (i + 0.5) * dt;
            way += std::min({v0 + a * t, v, v1 + a * (time - t)}) * dt;
        }
        // The midpoint rule errs by a·dt² at each of two corners at most.
        RC_ASSERT(std::abs(way - d) <= 2 * a * dt * dt + 1e-9);
    }));
}

TEST_CASE("no move takes less time than its limits allow, none more than with a stop at its end",
          "[motion]") {
    REQUIRE(rc::check("bounds of a list", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::vector<Move> moves = random_moves(random);
        const plan::Machine machine = random_machine(random);
        const double time = seconds(machine, moves);
        double least = 0, most = 0;
        for (const Move& move : moves) {
            const double ux = std::abs(move.dx / move.length_mm),
                         uy = std::abs(move.dy / move.length_mm);
            double speed = move.feed_mm_min / 60;
            if (ux > 0) speed = std::min(speed, machine.speed.x / ux);
            if (uy > 0) speed = std::min(speed, machine.speed.y / uy);
            least += move.length_mm / speed;
            Clock alone(machine);
            alone.move(move);
            most += alone.now_s();
        }
        RC_ASSERT(time >= least * (1 - 1e-9));
        RC_ASSERT(time <= most * (1 + 1e-9));
    }));
}

// What is placed by the clock's time must be able to rely on its order.
TEST_CASE("time never falls back", "[motion]") {
    plan::Machine machine;
    machine.acceleration = {200, 200, 200, 5000, 200, 200};
    Clock clock(machine);
    clock.move({40, 0, 0, 0, 40, 12'000, Drive::travel});
    const double before = clock.now_s();
    clock.move({0.01, 0, 0, 0, 0.01, 12'000, Drive::travel});
    CHECK(clock.now_s() >= before);
}

TEST_CASE("a lower limit never shortens the time", "[motion]") {
    REQUIRE(rc::check("speed, acceleration, cornering", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::vector<Move> moves = random_moves(random);
        const plan::Machine machine = random_machine(random);
        const double before = seconds(machine, moves);
        const double after = seconds(lowered(machine, random), moves);
        RC_ASSERT(after >= before * (1 - 1e-9));
    }));
}

}  // namespace durograde
