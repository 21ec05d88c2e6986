#pragma once

#include <string>

#include "condition.hpp"

/// Conditions as the tests see them: parsed, and evaluated step by step.
namespace durograde::plan_test {

/// Where a condition is evaluated; distance() of any shape is `distance`.
struct Point {
    double x = 1, y = 2, z = 3, height = 4, layer = 5, part = 6, depth = 7, distance = -1.5;
};

bool evaluate(const grammar::Condition& condition, const Point& point = {});

/// Fails the test where `text` does not parse.
grammar::Condition parsed(const std::string& text);
bool holds(const std::string& text);

/// Fails the test where `text` parses. The error is checked to have a place, a text and a remedy.
grammar::ConditionError condition_error(const std::string& text);

}  // namespace durograde::plan_test
