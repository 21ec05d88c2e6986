#include "motion/clock.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <numbers>

#include "motion/profile.hpp"

/// Trapezoid of equal accelerations: Biagiotti & Melchiorri, Trajectory Planning for Automatic
/// Machines and Robots, Springer 2008, ch. 3 (equations from memory). Junction deviation and the
/// jerk rule: common practice, no source.
namespace durograde {
namespace {

using motion::Clock;
using motion::Drive;
using motion::Move;

/// A machine whose only limits are `acceleration` of the path and its way to take corners.
plan::Machine machine(double acceleration, std::variant<plan::Deviation, plan::Jerk> cornering) {
    plan::Machine machine;
    machine.speed = {1e6, 1e6, 1e6, 1e6};
    machine.acceleration = {1e9, 1e9, 1e9, 1e9, acceleration, acceleration};
    machine.cornering = cornering;
    return machine;
}

Move along(double degrees, double length, double speed, double e = 0) {
    const double angle = degrees * std::numbers::pi / 180;
    return {length * std::cos(angle),
            length * std::sin(angle),
            0,
            e,
            length,
            speed * 60,
            e > 0 ? Drive::print : Drive::travel};
}

double seconds(const plan::Machine& machine, const std::vector<Move>& moves) {
    Clock clock(machine);
    for (const Move& move : moves) clock.move(move);
    return clock.now_s();
}

/// The speed at which a corner of two 10 mm moves is taken, from the time that they need.
double speed_at_corner(const plan::Machine& machine, double turn_deg, double feed, double a) {
    const double time = seconds(machine, {along(0, 10, feed), along(turn_deg, 10, feed)});
    double low = 0, high = feed;
    while (high - low > 1e-12) {
        const double middle = (low + high) / 2;
        const double with = motion::trapezoid_s(10, 0, middle, feed, a) +
                            motion::trapezoid_s(10, middle, 0, feed, a);
        (with > time ? low : high) = middle;
    }
    return low;
}

}  // namespace

TEST_CASE("seconds of a trapezoid", "[motion]") {
    struct Row {
        double d, v0, v1, v, a, seconds;
    };
    const std::vector<Row> rows = {
        {100, 0, 0, 100, 1000, 1.1},       {5, 0, 0, 100, 1000, 0.1414213562373095},
        {10, 0, 0, 100, 1000, 0.2},  // just reaches its speed
        {50, 20, 10, 80, 500, 0.73125},    {10, 30, 50, 120, 800, 0.1462214450},
        {30, 5, 2, 10, 10, 3.445},         {30, 5, 2, 20, 10, 2.8468295702},
        {2, 0, 0, 60, 3000, 0.0533333333}, {0.2, 0, 0, 60, 3000, 0.01632993162},
    };
    for (const Row& row : rows) {
        CAPTURE(row.d, row.v0, row.v1, row.v, row.a);
        CHECK(motion::trapezoid_s(row.d, row.v0, row.v1, row.v, row.a) ==
              Approx(row.seconds).epsilon(1e-9));
        // Played backwards it takes as long.
        CHECK(motion::trapezoid_s(row.d, row.v1, row.v0, row.v, row.a) ==
              Approx(row.seconds).epsilon(1e-9));
    }
    CHECK(motion::trapezoid_s(0, 0, 0, 100, 1000) == 0);
    CHECK(motion::trapezoid_s(10, 100, 100, 100, 1000) == Approx(0.1).epsilon(1e-12));
}

TEST_CASE("corner speed by junction deviation", "[motion]") {
    const auto corner = [](double theta_deg, double a, double deviation) {
        return motion::corner_speed(-std::cos(theta_deg * std::numbers::pi / 180), a, deviation);
    };
    CHECK(corner(90, 1000, 0.05) == Approx(10.9868411347).epsilon(1e-9));
    CHECK(corner(90, 1000, 0.017) == Approx(6.406374).epsilon(1e-6));
    CHECK(corner(135, 1000, 0.05) == Approx(24.634398).epsilon(1e-6));
    CHECK(corner(60, 1000, 0.05) == Approx(7.0710678119).epsilon(1e-9));
    CHECK(corner(30, 1000, 0.05) == Approx(4.178506).epsilon(1e-6));
    CHECK(corner(150, 1000, 0.05) == Approx(37.648201).epsilon(1e-6));
    CHECK(corner(170, 1000, 0.05) == Approx(114.409623).epsilon(1e-6));
    CHECK(corner(180, 1000, 0.05) >= 1e9);
    CHECK(corner(0, 1000, 0.05) == Approx(0).margin(1e-5));
    // A square corner at 7 mm/s and 2600 mm/s2.
    const double deviation = 49 * (std::numbers::sqrt2 - 1) / 2600;
    CHECK(deviation == Approx(0.0078063325216).epsilon(1e-9));
    CHECK(corner(90, 2600, deviation) == Approx(7).epsilon(1e-9));
    CHECK(corner(135, 2600, deviation) == Approx(15.6952105788).epsilon(1e-9));
    CHECK(corner(60, 2600, deviation) == Approx(4.5051597703).epsilon(1e-9));
}

TEST_CASE("two moves at a corner, rest to rest", "[motion]") {
    const plan::Machine square = machine(1000, plan::Deviation{0.05});
    CHECK(seconds(square, {along(0, 10, 50), along(90, 10, 50)}) ==
          Approx(0.4804405313).epsilon(1e-9));
    CHECK(seconds(square, {along(0, 10, 50), along(0, 10, 50)}) == Approx(0.45).epsilon(1e-12));
    CHECK(seconds(square, {along(0, 10, 50), along(180, 10, 50)}) == Approx(0.5).epsilon(1e-6));
    CHECK(speed_at_corner(square, 45, 50, 1000) == Approx(24.634398).epsilon(1e-6));
    Clock stopped(square);
    stopped.move(along(0, 10, 50));
    stopped.pause(0);
    stopped.move(along(0, 10, 50));
    CHECK(stopped.now_s() == Approx(0.5).epsilon(1e-12));
}

TEST_CASE("corners by the largest sudden change of an axis' speed", "[motion]") {
    const plan::Machine jerk = machine(1000, plan::Jerk{9, 7, 0.6, 3});
    CHECK(speed_at_corner(jerk, 90, 50, 1000) == Approx(7).epsilon(1e-9));
    CHECK(speed_at_corner(jerk, 45, 50, 1000) == Approx(9.8994949366).epsilon(1e-9));
    CHECK(speed_at_corner(jerk, 180, 50, 1000) == Approx(4.5).epsilon(1e-9));
    CHECK(speed_at_corner(jerk, 0, 50, 1000) == Approx(50).epsilon(1e-9));
}

TEST_CASE("the axes' own limits hold", "[motion]") {
    plan::Machine slow = machine(1e9, plan::Deviation{0.02});
    slow.speed = {100, 50, 5, 2};
    CHECK(seconds(slow, {along(0, 100, 200)}) == Approx(1).epsilon(1e-5));
    CHECK(seconds(slow, {along(90, 100, 200)}) == Approx(2).epsilon(1e-5));
    CHECK(seconds(slow, {along(45, 100, 200)}) ==
          Approx(100 / (50 * std::numbers::sqrt2)).epsilon(1e-5));
    CHECK(seconds(slow, {{0, 0, 10, 0, 10, 12000, Drive::travel}}) == Approx(2).epsilon(1e-5));
    CHECK(seconds(slow, {along(0, 100, 50, 5)}) ==
          Approx(2.5).epsilon(1e-5));  // 5 mm of filament at 2 mm/s
    CHECK(seconds(slow, {{0, 0, 0, -4, 4, 12000, Drive::filament}}) == Approx(2).epsilon(1e-5));

    plan::Machine lazy = machine(1e9, plan::Deviation{0.02});
    lazy.acceleration = {1000, 500, 100, 200, 1e9, 1e9};
    CHECK(seconds(lazy, {along(0, 100, 100)}) == Approx(1.1).epsilon(1e-12));
    CHECK(seconds(lazy, {along(90, 100, 100)}) == Approx(1.2).epsilon(1e-12));
    CHECK(seconds(lazy, {{0, 0, 100, 0, 100, 6000, Drive::travel}}) == Approx(2).epsilon(1e-12));
}

TEST_CASE("printing and travelling have their own accelerations", "[motion]") {
    plan::Machine both = machine(1000, plan::Deviation{0.02});
    both.acceleration.travel = 500;
    CHECK(seconds(both, {along(0, 100, 100, 1)}) == Approx(1.1).epsilon(1e-12));
    CHECK(seconds(both, {along(0, 100, 100)}) == Approx(1.2).epsilon(1e-12));
}

TEST_CASE("pauses and the speed override", "[motion]") {
    Clock clock(machine(1e9, plan::Deviation{0.02}));
    clock.pause(3);
    clock.set_speed_factor(0.5);
    clock.move(along(0, 100, 100));
    CHECK(clock.now_s() == Approx(5).epsilon(1e-5));
    clock.move({});
    clock.pause(-1);
    CHECK(clock.now_s() == Approx(5).epsilon(1e-5));
    clock.pause(2);
    CHECK(clock.now_s() == Approx(7).epsilon(1e-5));
}

}  // namespace durograde
