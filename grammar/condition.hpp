#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace durograde::grammar {

/// What one step of a condition does. Steps stand in postfix order: operands before operators.
enum class Op : std::uint8_t {
    number,  ///< pushes `number`
    truth,   ///< pushes true or false: `number` is 1 or 0
    x,       ///< part's own coordinates, mm
    y,
    z,
    height,    ///< mm above the bed
    layer,     ///< from 0
    part,      ///< from 0
    kind,      ///< of part, from 0
    depth,     ///< mm below the printed part's own outer surface
    distance,  ///< mm to the surface of shape `name`, negative inside
    negate,
    add,
    subtract,
    multiply,
    divide,
    minimum,
    maximum,
    absolute,
    square_root,
    hypotenuse,
    clamp,  ///< value, low, high
    less,
    less_equal,
    greater,
    greater_equal,
    logical_and,
    logical_or,
    logical_not,
};

struct Step {
    Op op = Op::number;
    std::uint8_t arity = 0;    ///< operands taken from the stack
    double number = 0.0;       ///< of `number` and `truth`
    std::string name;          ///< of `distance`: the shape
    std::uint32_t column = 1;  ///< where it stands in the text, from 1
};

/// A zone's condition: one truth value, as postfix steps. Types are checked: comparisons take
/// numbers, `and`, `or`, `not` take truth values, and the whole gives a truth value.
struct Condition {
    std::vector<Step> steps;
};

struct ConditionError {
    std::uint32_t column = 1;  ///< from 1, in the condition's text
    std::string text;          ///< what is wrong
    std::string mend;          ///< what was expected
};

inline constexpr std::size_t condition_length_limit = 4096;  ///< bytes
inline constexpr std::size_t condition_depth_limit = 64;     ///< nested brackets and operators
inline constexpr std::size_t condition_steps_limit = 1024;

/// Parses a condition such as "distance(tongue) <= 1.5 and z < 4". Total: never throws for any
/// text.
std::variant<Condition, ConditionError> parse_condition(std::string_view text);

}  // namespace durograde::grammar
