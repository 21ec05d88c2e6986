#include "region/margin.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>

#include "random_fields.hpp"
#include "region/shapes.hpp"

/// Conditions as signed margins with a bound on their slope.
namespace durograde {
namespace {

using grammar::Op;
using region::Margin;
using region::Spot;
using region_test::condition;

const std::vector<plan::Shape> shapes = {{"tongue", plan::Sphere{{0, 0, 0}, 3}}};
const region::Fields tongue(shapes);

double slope(const std::string& text) {
    return Margin(condition(text), tongue).lipschitz();
}
double margin(const std::string& text, const Spot& spot) {
    return Margin(condition(text), tongue).at(spot);
}

/// Takes the operands of `step` off the stack and gives back what it makes of them; truth values
/// are 1 and 0, not signs.
double result_of(const grammar::Step& step, std::vector<double>& stack) {
    const auto pop = [&] {
        const double value = stack.back();
        stack.pop_back();
        return value;
    };
    const double c = step.arity > 2 ? pop() : 0, b = step.arity > 1 ? pop() : 0,
                 a = step.arity > 0 ? pop() : 0;
    switch (step.op) {
        case Op::number:
        case Op::truth:
            return step.number;
        case Op::negate:
            return -a;
        case Op::add:
            return a + b;
        case Op::subtract:
            return a - b;
        case Op::multiply:
            return a * b;
        case Op::divide:
            return a / b;
        case Op::minimum:
            return std::min(a, b);
        case Op::maximum:
            return std::max(a, b);
        case Op::absolute:
            return std::abs(a);
        case Op::clamp:
            return std::min(std::max(a, b), c);
        case Op::less:
            return a < b ? 1 : 0;
        case Op::less_equal:
            return a <= b ? 1 : 0;
        case Op::greater:
            return a > b ? 1 : 0;
        case Op::greater_equal:
            return a >= b ? 1 : 0;
        case Op::logical_and:
            return a != 0 && b != 0 ? 1 : 0;
        case Op::logical_or:
            return a != 0 || b != 0 ? 1 : 0;
        case Op::logical_not:
            return a == 0 ? 1 : 0;
        default:
            throw std::logic_error("no such step");
    }
}

/// A second reading of a condition, of shapes named a, b and c.
bool holds(const grammar::Condition& parsed, const std::vector<plan::Shape>& some,
           const plan::Vec3& at) {
    std::vector<double> stack;
    for (const grammar::Step& step : parsed.steps) {
        if (step.op >= Op::x && step.op <= Op::z) {
            stack.push_back(
                at[static_cast<std::size_t>(step.op) - static_cast<std::size_t>(Op::x)]);
        } else if (step.op == Op::distance) {
            stack.push_back(
                region::Field(some[static_cast<std::size_t>(step.name[0] - 'a')]).exact_mm(at));
        } else {
            stack.push_back(result_of(step, stack));
        }
    }
    return stack.back() != 0;
}

}  // namespace

TEST_CASE("a condition holds where its margin is at most zero", "[region]") {
    const Spot spot{{5, 1, 2}, 2, 7, 3};  // 2.477 mm outside of the tongue
    CHECK(margin("x <= 4", spot) == Approx(1));
    CHECK(margin("x > 4", spot) == Approx(-1));
    CHECK(margin("x + y >= 6", spot) == Approx(0).margin(1e-12));
    CHECK(margin("x <= 4 and y <= 4", spot) == Approx(1));
    CHECK(margin("x <= 4 or y <= 4", spot) == Approx(-3));
    CHECK(margin("not (x <= 4)", spot) == Approx(-1));
    CHECK(margin("distance(tongue) <= 2.5", spot) == Approx(std::sqrt(30.0) - 3 - 2.5));
    // Layers and parts are whole, and no mm.
    CHECK(margin("layer < 7", spot) > 1e20);
    CHECK(margin("layer <= 7", spot) < -1e20);
    CHECK(margin("not (layer >= 7)", spot) > 1e20);
    CHECK(margin("layer - 7 > 0", spot) > 1e20);
    CHECK(margin("part >= 3", spot) < -1e20);
    CHECK(margin("2 * part > 6", spot) > 1e20);
    CHECK(margin("layer >= 7 and x < 6", spot) == Approx(-1));
    CHECK(margin("layer - x < 3", spot) == Approx(-1));
    CHECK(margin("height < 3", spot) == Approx(-1));
    CHECK(margin("clamp(x, 0, 3) < 3.5", spot) == Approx(-0.5));
    CHECK(margin("sqrt(x - 1) <= 1", spot) == Approx(1));
    CHECK(margin("hypot(x - 2, y + 3) <= 4", spot) == Approx(1));
    CHECK(margin("abs(-x) < 6", spot) == Approx(-1));
    CHECK(margin("true", spot) < -1e20);
    CHECK(margin("false", spot) > 1e20);
    CHECK(margin("not true", spot) > 1e20);
}

TEST_CASE("of a condition and its opposite exactly one holds where sides are equal", "[region]") {
    const Spot spot{{5, 1, 2}, 2, 7, 3};
    for (const char* const sides : {"x ? 5", "height ? 2", "x + y ? 6", "layer ? 7", "5 ? x"}) {
        const auto holds_with = [&](std::string compare, bool negated) {
            std::string text = sides;
            text.replace(text.find('?'), 1, compare);
            return margin(negated ? "not (" + text + ")" : text, spot) <= 0;
        };
        CAPTURE(sides);
        CHECK_FALSE(holds_with("<", false));
        CHECK_FALSE(holds_with(">", false));
        CHECK(holds_with("<=", false));
        CHECK(holds_with(">=", false));
        CHECK(holds_with("<", true));
        CHECK(holds_with(">", true));
        CHECK_FALSE(holds_with("<=", true));
        CHECK_FALSE(holds_with(">=", true));
    }
    CHECK(margin("x < 5 and y < 4", spot) > 0);
    CHECK(margin("x <= 5 or y > 4", spot) <= 0);
}

TEST_CASE("slopes: coordinates and distances 1, sums add, constant factors scale", "[region]") {
    CHECK(slope("x <= 4") == 1);
    CHECK(slope("distance(tongue) <= 4") == 1);
    CHECK(slope("x + y <= 4") == Approx(std::sqrt(2.0)));  // at right angles
    CHECK(slope("x + x <= y") == Approx(std::sqrt(5.0)));
    CHECK(slope("z <= height") == 2);
    CHECK(slope("x - distance(tongue) <= z") == 3);
    CHECK(slope("2.5 * x <= 4") == 2.5);
    CHECK(slope("x * -2.5 <= 4") == 2.5);
    CHECK(slope("x / 4 <= 4") == 0.25);
    CHECK(slope("min(x, 3 * y) <= 4") == 3);
    CHECK(slope("max(x, 3 * y) <= 4") == 3);
    CHECK(slope("x <= 4 and 3 * y <= 4") == 3);
    CHECK(slope("x <= 4 or 3 * y <= 4") == 3);
    CHECK(slope("not (x <= 4)") == 1);
    CHECK(slope("abs(x) <= 4") == 1);
    CHECK(slope("clamp(2 * x, -1, y) <= 0.5") == 2);
    CHECK(slope("hypot(x, y) <= 4") == 1);
    CHECK(slope("hypot(hypot(x, y), z) <= 4") == 1);
    CHECK(slope("hypot(x, x) <= 4") == 2);
    CHECK(slope("hypot(x, distance(tongue)) <= 4") == 2);
    CHECK(slope("layer * part < 4") == 0);
    CHECK(slope("true") == 0);
    CHECK(slope("x * y <= 4") == region::unbounded);
    CHECK(slope("4 / x <= 4") == region::unbounded);
    CHECK(slope("sqrt(x) <= 4") == region::unbounded);
    CHECK(slope("x * y <= 4 or z < 1") == region::unbounded);
}

TEST_CASE("the sign of a margin is the truth of its condition", "[region]") {
    REQUIRE(rc::check("against plain truth values", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const auto some = region_test::some_shapes(random);
        const std::string text = region_test::random_truth(random, 3);
        RC_LOG() << text << '\n';
        const grammar::Condition parsed = condition(text);
        const region::Fields fields(some);
        const Margin compiled(parsed, fields);
        RC_ASSERT(compiled.lipschitz() < region::unbounded);
        for (int i = 0; i < 20; ++i) {
            const Spot spot{region_test::random_point(random), 0, 0, 0};
            const double m = compiled.at(spot);
            if (std::abs(m) < 1e-12) continue;  // on the boundary itself < and <= are one
            RC_ASSERT((m < 0) == holds(parsed, some, spot.point));
        }
    }));
}

TEST_CASE("no margin changes faster than its slope", "[region]") {
    REQUIRE(rc::check("random conditions", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const auto some = region_test::some_shapes(random);
        const std::string text = region_test::random_truth(random, 3);
        RC_LOG() << text << '\n';
        const region::Fields fields(some);
        const Margin compiled(condition(text), fields);
        for (int i = 0; i < 20; ++i) {
            const plan::Vec3 a = region_test::random_point(random),
                             b = region_test::random_point(random);
            const double change = std::abs(compiled.at({a, 0, 0, 0}) - compiled.at({b, 0, 0, 0}));
            RC_ASSERT(change <=
                      compiled.lipschitz() * region_test::apart(a, b) * (1 + 1e-9) + 1e-9);
        }
    }));
}

// A factor that is itself worked out from numbers is as constant as a number.
TEST_CASE("slopes of constant expressions are known", "[region]") {
    CHECK(slope("(1 / 2) * x <= 4") == 0.5);
    CHECK(slope("x / (2 + 2) <= 4") == 0.25);
    CHECK(slope("sqrt(2) * x <= 4") == Approx(std::sqrt(2.0)));
}

// 0 · ∞ would be no number, and what is compared with it never true.
TEST_CASE("a field without a bound has none behind a factor of zero either", "[region]") {
    CHECK(slope("0 * (y / x) <= 4") == region::unbounded);
    CHECK(slope("(y / x) / 2 <= 4") == region::unbounded);
}

}  // namespace durograde
