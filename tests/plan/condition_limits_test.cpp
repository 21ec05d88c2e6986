#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "condition.hpp"
#include "sample_condition.hpp"
#include "sample_plan.hpp"

using namespace durograde::grammar;
using namespace durograde::plan_test;

TEST_CASE("numbers too large together are refused", "[condition]") {
    const std::string square = "1000000000 * 1000000000";
    std::string product = square;
    for (int i = 0; i < 20; ++i) product += " * " + square;
    CHECK(contains(condition_error(product + " > x").text, "too large"));
}

TEST_CASE("nesting up to the limit parses, beyond it is refused before parsing", "[condition]") {
    const std::size_t limit = condition_depth_limit;
    CHECK(holds(repeated("(", limit) + "x" + repeated(")", limit) + " < 2"));
    CHECK(holds(repeated("abs(", limit) + "x" + repeated(")", limit) + " < 2"));
    CHECK(holds(repeated("not ", limit) + "true"));
    CHECK(holds(repeated("- ", limit) + "x < 2"));
    for (const char* opening : {"(", "abs(", "not ", "-", "-(", "not (x < 1 and "}) {
        const ConditionError error = condition_error(repeated(opening, limit + 1));
        CHECK(contains(error.text, "nested"));
    }
    CHECK(contains(condition_error(repeated("not not not x < (", 30)).text, "nested"));
    CHECK(contains(condition_error(repeated("(", 4000)).text, "nested"));
}

TEST_CASE("what is merely long is not nested", "[condition]") {
    CHECK(holds("true" + repeated(" and not false", 150)));
    CHECK(holds("true" + repeated(" and (not (x < -1))", 100)));
    CHECK(holds(repeated("- 1 + ", 100) + "x < 1"));
}

TEST_CASE("length and number of steps are limited", "[condition]") {
    const std::string spare(condition_length_limit - 4, ' ');
    CHECK(holds("true" + spare));
    CHECK(contains(condition_error("true " + spare).text, "longer"));
    const std::size_t fits = condition_steps_limit / 2 - 1;  // a number and an operator each
    CHECK(holds("x" + repeated("+0", fits - 1) + "<2"));
    CHECK(contains(condition_error("x" + repeated("+0", fits + 1) + "<2").text, "more than 1024"));
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
