#include "condition.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <string>
#include <variant>
#include <vector>

using namespace durograde::grammar;

namespace {

/// Where a condition is evaluated; distance() of any shape is `distance`.
struct Point {
    double x = 1, y = 2, z = 3, height = 4, layer = 5, part = 6, depth = 7, distance = -1.5;
};

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

bool evaluate(const Condition& condition, const Point& point = {}) {
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
    const auto result = parse_condition(text);
    if (const auto* error = std::get_if<ConditionError>(&result))
        FAIL(text << "\n" << error->column << ": " << error->text << "; " << error->mend);
    return std::get<Condition>(result);
}

bool holds(const std::string& text) {
    return evaluate(parsed(text));
}

ConditionError error_of(const std::string& text) {
    INFO(text);
    const auto result = parse_condition(text);
    REQUIRE(std::holds_alternative<ConditionError>(result));
    const ConditionError error = std::get<ConditionError>(result);
    CHECK(error.column >= 1);
    CHECK(error.column <= text.size() + 1);
    CHECK_FALSE(error.text.empty());
    CHECK_FALSE(error.mend.empty());
    return error;
}

std::string repeated(const std::string& text, std::size_t count) {
    std::string all;
    for (std::size_t i = 0; i < count; ++i) all += text;
    return all;
}

bool contains(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("conditions mean what they say", "[condition]") {
    // x 1, y 2, z 3, height 4, layer 5, part 6, depth 7, distance -1.5
    const auto [text, expected] = GENERATE(table<std::string, bool>({
        {"true", true},
        {"false", false},
        {"distance(tongue) <= 1.5", true},
        {"distance( tongue )<=-1.6", false},
        {"x + y * z < 7.1", true},
        {"(x + y) * z < 7.1", false},
        {"10 - 4 - 3 < 3.5", true},
        {"24 / 4 / 2 < 3.5", true},
        {"-x * -y > 1.9", true},
        {"- - x > 0", true},
        {"2 - -1 >= 3", true},
        {"x < 2 or y < 0 and z < 0", true},
        {"(x < 2 or y < 0) and z < 0", false},
        {"not x < 0 and y > 0", true},
        {"not (x < 2 and y > 0)", false},
        {"not not true", true},
        {"x >= 1 and x <= 1", true},
        {"x > 1 or x < 1", false},
        {"min(x, y, z) <= 1 and max(x, y, z) >= 3", true},
        {"min(z, y, x) < 0.9", false},
        {"hypot(3, 4) <= 5 and hypot(3, 4) >= 5", true},
        {"hypot(2, 3, 6) < 7.01 and hypot(2, 3, 6) > 6.99", true},
        {"abs(-z) > 2.9 and sqrt(height) < 2.1", true},
        {"clamp(layer, 0, 2) <= 2 and clamp(part, 7, 9) >= 7", true},
        {"depth > 6.9 and height < 4.1", true},
        {".5 < 0.6 and 007 >= 7", true},
        {"(true)", true},
        {" \t\n true\r\n", true},
        {"((x)) < ((2))", true},
    }));
    INFO(text);
    CHECK(holds(text) == expected);
}

TEST_CASE("steps stand in postfix order with their columns", "[condition]") {
    const Condition condition = parsed("distance(tongue) <= 1.5 and z < 4");
    REQUIRE(condition.steps.size() == 7);
    const std::vector<Op> ops = {Op::distance, Op::number, Op::less_equal, Op::z,
                                 Op::number,   Op::less,   Op::logical_and};
    const std::vector<std::uint32_t> columns = {10, 21, 18, 29, 33, 31, 25};
    for (std::size_t i = 0; i < ops.size(); ++i) {
        CHECK(condition.steps[i].op == ops[i]);
        CHECK(condition.steps[i].column == columns[i]);
    }
    CHECK(condition.steps[0].name == "tongue");
    CHECK(condition.steps[1].number == 1.5);
    CHECK(condition.steps[2].arity == 2);
}

TEST_CASE("functions of many operands become steps of two", "[condition]") {
    for (const Step& step : parsed("min(x, y, z, 4) < 1").steps) CHECK(step.arity <= 2);
}

TEST_CASE("a wrong condition is named at its place, with a remedy", "[condition]") {
    struct Row {
        const char* text;
        std::uint32_t column;
        const char* says;  // within the text or the remedy
    };
    const Row row = GENERATE(values<Row>({
        {"", 1, "empty"},
        {"   ", 4, "ends"},
        {"hight < 3", 1, "did you mean `height`"},
        {"layr < 3", 1, "did you mean `layer`"},
        {"Z < 3", 1, "did you mean `z`"},
        {"q < 3", 1, "Fields: x y z"},
        {"distnce(tongue) < 3", 1, "did you mean `distance`"},
        {"1 < sqr(x)", 5, "did you mean `sqrt`"},
        {"x < 1 adn y < 2", 7, "did you mean `and`"},
        {"x", 1, "compare it"},
        {"x + 1", 1, "compare it"},
        {"not x", 5, "this is a number"},
        {"x and y < 2", 1, "this is a number"},
        {"y < 2 and (x)", 12, "this is a number"},
        {"(x < 1) + 2 < 3", 2, "true or false"},
        {"abs(true) < 1", 5, "true or false"},
        {"0 < x < 4", 7, "do not chain"},
        {"(0 < x < 4)", 8, "do not chain"},
        {"layer = 3", 7, "`layer >= 3 and layer <= 3`"},
        {"z < 1 and part == 3", 16, "`layer >= 3 and layer <= 3`"},
        {"!x", 1, "`not`"},
        {"x < 1 & y < 2", 7, "`and`"},
        {"x < 1 || y < 2", 7, "`or`"},
        {"x < +3", 5, "leave the plus out"},
        {"x < 1e5", 5, "exponent"},
        {"x < 1E-5", 5, "exponent"},
        {"x < 5.", 5, "both sides"},
        {"x < 1.2.3", 5, "one point"},
        {"x < .", 5, "no plain number"},
        {"x < 3mm", 5, "unit"},
        {"x < nan", 5, "no field"},
        {"x < inf", 5, "no field"},
        {"x < 99999999999", 5, "too large"},
        {"(x < 3", 7, "for the `(` in column 1"},
        {"(x < 3 and (y < 2)", 19, "for the `(` in column 1"},
        {"abs(x < 3", 10, "for the `(` in column 4"},
        {"distance(tongue < 3", 17, "for the `(` in column 9"},
        {"x < 3)", 6, "closes no bracket"},
        {"x < 3, y", 6, "comma"},
        {"()", 2, "operand"},
        {"abs < 3", 5, "in brackets"},
        {"abs() < 3", 5, "operand"},
        {"abs(x, y) < 3", 1, "2 operands, not 1"},
        {"clamp(x, 1) < 3", 1, "clamp(value, low, high)"},
        {"max(x) < 3", 1, "1 operand, not 2"},
        {"distance() < 3", 10, "name of a shape"},
        {"distance(\"tongue\") < 3", 10, "without quotes"},
        {"distance tongue < 3", 10, "in brackets"},
        {"x / 0 < 1", 3, "divides by zero"},
        {"x / (2 - 2) < 1", 3, "divides by zero"},
        {"sqrt(-1) < 1", 1, "square root"},
        {"clamp(x, 3, 1) < 2", 1, "above its upper bound"},
        {"x < not y", 5, "in brackets"},
        {"x < 1 not y < 2", 7, "`and not`"},
        {"and x", 1, "nothing to join"},
        {"x < 3 and", 10, "ends"},
        {"x y", 3, "missing before `y`"},
        {"x < 3 # top", 7, "operator or the end"},
        {"\xC3\xBC < 3", 1, "\xC3\xBC"},
    }));
    INFO(row.text);
    const ConditionError error = error_of(row.text);
    CHECK(error.column == row.column);
    INFO(error.text << "; " << error.mend);
    CHECK(contains(error.text + "; " + error.mend, row.says));
}

TEST_CASE("numbers too large together are refused", "[condition]") {
    const std::string square = "1000000000 * 1000000000";
    std::string product = square;
    for (int i = 0; i < 20; ++i) product += " * " + square;
    CHECK(contains(error_of(product + " > x").text, "too large"));
}

TEST_CASE("nesting up to the limit parses, beyond it is refused before parsing", "[condition]") {
    const std::size_t limit = condition_depth_limit;
    CHECK(holds(repeated("(", limit) + "x" + repeated(")", limit) + " < 2"));
    CHECK(holds(repeated("abs(", limit) + "x" + repeated(")", limit) + " < 2"));
    CHECK(holds(repeated("not ", limit) + "true"));
    CHECK(holds(repeated("- ", limit) + "x < 2"));
    for (const char* opening : {"(", "abs(", "not ", "-", "-(", "not (x < 1 and "}) {
        const ConditionError error = error_of(repeated(opening, limit + 1));
        CHECK(contains(error.text, "nested"));
    }
    CHECK(contains(error_of(repeated("not not not x < (", 30)).text, "nested"));
    CHECK(contains(error_of(repeated("(", 4000)).text, "nested"));
}

TEST_CASE("what is merely long is not nested", "[condition]") {
    CHECK(holds("true" + repeated(" and not false", 150)));
    CHECK(holds("true" + repeated(" and (not (x < -1))", 100)));
    CHECK(holds(repeated("- 1 + ", 100) + "x < 1"));
}

TEST_CASE("length and number of steps are limited", "[condition]") {
    const std::string spare(condition_length_limit - 4, ' ');
    CHECK(holds("true" + spare));
    CHECK(contains(error_of("true " + spare).text, "longer"));
    const std::size_t fits = condition_steps_limit / 2 - 1;  // a number and an operator each
    CHECK(holds("x" + repeated("+0", fits - 1) + "<2"));
    CHECK(contains(error_of("x" + repeated("+0", fits + 1) + "<2").text, "more than 1024"));
}

TEST_CASE("any text gives a condition or an error in it", "[condition]") {
    static const std::vector<std::string> pieces = {
        "x",   "layer", "distance", "(", ")", ",",  "tongue", "not ", "and ", "or ", "<",
        "<=",  ">",     ">=",       "+", "-", "*",  "/",      "1.5",  "0",    ".",   "true",
        "min", "clamp", "sqrt",     " ", "=", "\n", "\xFF",   "e5",   "\"",   "!",   "abs("};
    const bool held = rc::check("total", [] {
        const auto picks = *rc::gen::container<std::vector<std::size_t>>(
            rc::gen::inRange<std::size_t>(0, pieces.size()));
        std::string text;
        for (const std::size_t pick : picks) text += pieces[pick];
        const auto result = parse_condition(text);
        if (const auto* error = std::get_if<ConditionError>(&result))
            RC_ASSERT(error->column >= 1 && error->column <= text.size() + 1);
        else
            RC_ASSERT(!std::get<Condition>(result).steps.empty());
    });
    CHECK(held);
}

namespace {

/// A sum, product or function over x and small whole numbers, and its value at x = 1.
std::pair<std::string, double> random_number(int depth) {
    const int kind = depth == 0 ? *rc::gen::inRange(0, 2) : *rc::gen::inRange(0, 8);
    if (kind == 0) return {"x", 1};
    if (kind == 1) {
        const int value = *rc::gen::inRange(0, 9);
        return {std::to_string(value), value};
    }
    const auto [a, va] = random_number(depth - 1);
    if (kind == 2) return {"-(" + a + ")", -va};
    if (kind == 3) return {"abs(" + a + ")", std::abs(va)};
    const auto [b, vb] = random_number(depth - 1);
    switch (kind) {
        case 4:
            return {"(" + a + ")+(" + b + ")", va + vb};
        case 5:
            return {"(" + a + ") - (" + b + ")", va - vb};
        case 6:
            return {"(" + a + ")*(" + b + ")", va * vb};
        default:
            return {"max(" + a + "," + b + ")", std::max(va, vb)};
    }
}

}  // namespace

TEST_CASE("arithmetic agrees with an evaluation of its own", "[condition]") {
    const bool held = rc::check("same value", [] {
        const auto [text, value] = random_number(4);
        const std::string bound = std::to_string(static_cast<long>(std::abs(value)));
        const std::string signed_bound = value < 0 ? "-" + bound : bound;
        RC_PRE(text.size() < 3000);
        RC_PRE(std::abs(value) < 1e9);
        const auto at_least = parse_condition(text + " >= " + signed_bound);
        const auto at_most = parse_condition(text + " <= " + signed_bound);
        RC_ASSERT(std::holds_alternative<Condition>(at_least));
        RC_ASSERT(evaluate(std::get<Condition>(at_least)));
        RC_ASSERT(evaluate(std::get<Condition>(at_most)));
    });
    CHECK(held);
}
