#include "condition.hpp"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "sample_condition.hpp"
#include "sample_plan.hpp"

using namespace durograde::grammar;
using namespace durograde::plan_test;

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
    const ConditionError error = condition_error(row.text);
    CHECK(error.column == row.column);
    INFO(error.text << "; " << error.mend);
    CHECK(contains(error.text + "; " + error.mend, row.says));
}
