#include "condition_steps.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace durograde::grammar {
namespace {

struct OperandCount {
    std::size_t fewest = 2, most = 2;
};

/// min, max and hypot take any number from two on: they are emitted as steps of two.
constexpr std::size_t most_operands = 16;

OperandCount operand_count(Op op) {
    switch (op) {
        case Op::negate:
        case Op::logical_not:
        case Op::absolute:
        case Op::square_root:
            return {1, 1};
        case Op::minimum:
        case Op::maximum:
        case Op::hypotenuse:
            return {2, most_operands};
        case Op::clamp:
            return {3, 3};
        default:
            return {2, 2};
    }
}

bool takes_truth(Op op) {
    return op == Op::logical_and || op == Op::logical_or || op == Op::logical_not;
}

bool gives_truth(Op op) {
    return takes_truth(op) || op == Op::less || op == Op::less_equal || op == Op::greater ||
           op == Op::greater_equal;
}

double value_of(Op op, const std::vector<double>& v) {
    switch (op) {
        case Op::negate:
            return -v[0];
        case Op::add:
            return v[0] + v[1];
        case Op::subtract:
            return v[0] - v[1];
        case Op::multiply:
            return v[0] * v[1];
        case Op::divide:
            return v[0] / v[1];
        case Op::minimum:
            return std::min(v[0], v[1]);
        case Op::maximum:
            return std::max(v[0], v[1]);
        case Op::absolute:
            return std::abs(v[0]);
        case Op::square_root:
            return std::sqrt(v[0]);
        case Op::hypotenuse:
            return std::hypot(v[0], v[1]);
        case Op::clamp:
            return std::max(v[1], std::min(v[0], v[2]));
        default:
            return 0.0;
    }
}

/// What is wrong with constant operands, as text; empty where nothing is.
std::string constant_fault(Op op, const std::vector<std::optional<double>>& constants) {
    if (op == Op::divide && constants[1] == 0.0) return "this divides by zero";
    if (op == Op::square_root && constants[0].value_or(0.0) < 0.0)
        return "this is the square root of a negative number";
    if (op == Op::clamp && constants[1] && constants[2] && *constants[1] > *constants[2])
        return "the lower bound of `clamp` is above its upper bound";
    return {};
}

}  // namespace

bool StepBuilder::fail(ConditionError error) {
    if (!error_) error_ = std::move(error);
    return false;
}

bool StepBuilder::push(Step step, const Operand& operand) {
    if (steps_.size() == condition_steps_limit)
        return fail({step.column,
                     "the condition has more than " + std::to_string(condition_steps_limit) +
                         " numbers, fields and operators",
                     "split it over several zones"});
    steps_.push_back(std::move(step));
    operands_.push_back(operand);
    return true;
}

bool StepBuilder::number(double value, std::uint32_t column) {
    return push({Op::number, 0, value, {}, column}, {false, column, value});
}

bool StepBuilder::truth(bool value, std::uint32_t column) {
    return push({Op::truth, 0, value ? 1.0 : 0.0, {}, column}, {true, column, {}});
}

bool StepBuilder::field(Op op, std::uint32_t column) {
    return push({op, 0, 0.0, {}, column}, {false, column, {}});
}

bool StepBuilder::distance(std::string_view shape, std::uint32_t column) {
    return push({Op::distance, 0, 0.0, std::string(shape), column}, {false, column, {}});
}

void StepBuilder::open(Op op, std::string_view spelling, std::uint32_t column) {
    open_.push_back({op, std::string(spelling), column, 0});
}

bool StepBuilder::count_operand() {
    ++open_.back().operands;
    return true;
}

bool StepBuilder::check_operand_count(const Open& open) {
    const OperandCount count = operand_count(open.op);
    if (open.operands >= count.fewest && open.operands <= count.most) return true;
    std::string wanted = std::to_string(count.fewest);
    if (count.most != count.fewest) wanted += " to " + std::to_string(count.most);
    return fail({open.column,
                 "`" + open.spelling + "` has " + std::to_string(open.operands) +
                     (open.operands == 1 ? " operand" : " operands") + ", not " + wanted,
                 open.op == Op::clamp ? "write `clamp(value, low, high)`"
                                      : "separate the operands by commas"});
}

bool StepBuilder::apply() {
    if (error_) return false;
    const Open open = std::move(open_.back());
    open_.pop_back();
    const OperandCount count = operand_count(open.op);
    const bool is_function = open.operands > 0;
    if (is_function && !check_operand_count(open)) return false;
    if (count.most == count.fewest) return emit(open, count.fewest);
    for (std::size_t pair = 1; pair < open.operands; ++pair)
        if (!emit(open, 2)) return false;
    return true;
}

bool StepBuilder::check_operand_types(const Open& open, const std::vector<Operand>& operands) {
    const bool truth_wanted = takes_truth(open.op);
    for (const Operand& operand : operands) {
        if (operand.is_truth == truth_wanted) continue;
        const std::string whose = "`" + open.spelling + "` takes ";
        if (truth_wanted)
            return fail({operand.column, whose + "truth values, and this is a number",
                         "compare the number with something, such as `z <= 4`"});
        return fail({operand.column, whose + "numbers, and this is true or false",
                     "join comparisons by `and` or `or`: `0 < z and z < 4`"});
    }
    return true;
}

bool StepBuilder::emit(const Open& open, std::size_t arity) {
    const auto first = operands_.end() - static_cast<std::ptrdiff_t>(arity);
    const std::vector<Operand> operands(first, operands_.end());
    operands_.erase(first, operands_.end());
    if (!check_operand_types(open, operands)) return false;

    std::vector<std::optional<double>> constants;
    std::vector<double> values;
    for (const Operand& operand : operands) {
        constants.push_back(operand.constant);
        if (operand.constant) values.push_back(*operand.constant);
    }
    const std::string fault = constant_fault(open.op, constants);
    if (!fault.empty()) return fail({open.column, fault, "change the number"});

    // What stands before its operands begins the text; an operator between them does not.
    Operand result{gives_truth(open.op), std::min(open.column, operands.front().column), {}};
    if (!result.is_truth && values.size() == arity) {
        result.constant = value_of(open.op, values);
        if (!std::isfinite(*result.constant))
            return fail({open.column, "this is too large for a number", "use smaller numbers"});
    }
    return push({open.op, static_cast<std::uint8_t>(arity), 0.0, {}, open.column}, result);
}

bool StepBuilder::finish() {
    if (error_) return false;
    if (operands_.back().is_truth) return true;
    return fail({operands_.back().column, "the whole condition is a number, neither true nor false",
                 "compare it with something, such as `distance(tongue) <= 1.5`"});
}

}  // namespace durograde::grammar
