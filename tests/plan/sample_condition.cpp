#include "sample_condition.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <variant>
#include <vector>

namespace durograde::plan_test {
namespace {

using grammar::Condition;
using grammar::ConditionError;
using grammar::Op;
using grammar::Step;

double pop(std::vector<double>& stack) {
    REQUIRE_FALSE(stack.empty());
    const double value = stack.back();
    stack.pop_back();
    return value;
}

double field(Op op, const Point& p) {
    switch (op) {
        case Op::x:
            return p.x;
        case Op::y:
            return p.y;
        case Op::z:
            return p.z;
        case Op::height:
            return p.height;
        case Op::layer:
            return p.layer;
        case Op::part:
        case Op::kind:
            return p.part;
        case Op::depth:
            return p.depth;
        case Op::distance:
            return p.distance;
        default:
            FAIL("no field");
            return 0;
    }
}

double binary(Op op, double a, double b) {
    switch (op) {
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
        case Op::hypotenuse:
            return std::hypot(a, b);
        case Op::less:
            return a < b;
        case Op::less_equal:
            return a <= b;
        case Op::greater:
            return a > b;
        case Op::greater_equal:
            return a >= b;
        case Op::logical_and:
            return a != 0 && b != 0;
        case Op::logical_or:
            return a != 0 || b != 0;
        default:
            FAIL("no binary operator");
            return 0;
    }
}

double unary(Op op, double a) {
    switch (op) {
        case Op::negate:
            return -a;
        case Op::absolute:
            return std::abs(a);
        case Op::square_root:
            return std::sqrt(a);
        case Op::logical_not:
            return a == 0;
        default:
            FAIL("no unary operator");
            return 0;
    }
}

}  // namespace

bool evaluate(const Condition& condition, const Point& point) {
    std::vector<double> stack;
    for (const Step& step : condition.steps) {
        if (step.op == Op::number || step.op == Op::truth) {
            stack.push_back(step.number);
        } else if (step.arity == 0) {
            stack.push_back(field(step.op, point));
        } else if (step.arity == 1) {
            stack.push_back(unary(step.op, pop(stack)));
        } else if (step.arity == 2) {
            const double b = pop(stack), a = pop(stack);
            stack.push_back(binary(step.op, a, b));
        } else {
            REQUIRE(step.op == Op::clamp);
            const double high = pop(stack), low = pop(stack), value = pop(stack);
            stack.push_back(std::clamp(value, low, high));
        }
    }
    REQUIRE(stack.size() == 1);
    return stack[0] != 0;
}

Condition parsed(const std::string& text) {
    const auto result = grammar::parse_condition(text);
    if (const auto* error = std::get_if<ConditionError>(&result))
        FAIL(text << "\n" << error->column << ": " << error->text << "; " << error->mend);
    return std::get<Condition>(result);
}

bool holds(const std::string& text) {
    return evaluate(parsed(text));
}

ConditionError condition_error(const std::string& text) {
    INFO(text);
    const auto result = grammar::parse_condition(text);
    REQUIRE(std::holds_alternative<ConditionError>(result));
    const ConditionError error = std::get<ConditionError>(result);
    CHECK(error.column >= 1);
    CHECK(error.column <= text.size() + 1);
    CHECK_FALSE(error.text.empty());
    CHECK_FALSE(error.mend.empty());
    return error;
}

}  // namespace durograde::plan_test
