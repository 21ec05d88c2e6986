#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "condition.hpp"

namespace durograde::grammar {

/// Turns what the parser meets, from left to right, into postfix steps, and checks on the way what
/// a grammar alone cannot: that numbers and truth values stand where they may, that a function has
/// the operands it needs, and that no constant part divides by zero. The first error found is kept;
/// whatever fails returns false.
class StepBuilder {
  public:
    bool number(double value, std::uint32_t column);
    bool truth(bool value, std::uint32_t column);
    bool field(Op op, std::uint32_t column);
    bool distance(std::string_view shape, std::uint32_t column);

    /// An operator or a function whose operands follow, or whose last operand follows.
    void open(Op op, std::string_view spelling, std::uint32_t column);
    /// One operand in a function's brackets is complete.
    bool count_operand();
    /// The operands of what was opened last are complete.
    bool apply();
    /// The text is at its end: the whole must be one truth value.
    bool finish();

    /// Keeps `error` unless an earlier one is kept. Returns false, for use at the end of a parser.
    bool fail(ConditionError error);
    [[nodiscard]] const std::optional<ConditionError>& error() const { return error_; }
    [[nodiscard]] Condition take() { return {std::move(steps_)}; }

  private:
    struct Operand {
        bool is_truth = false;
        std::uint32_t column = 1;        // where its text begins
        std::optional<double> constant;  // where no field takes part
    };
    struct Open {
        Op op;
        std::string spelling;
        std::uint32_t column;
        std::size_t operands = 0;  // of a function, counted so far
    };

    bool push(Step step, const Operand& operand);
    bool emit(const Open& open, std::size_t arity);
    bool check_operand_types(const Open& open, const std::vector<Operand>& operands);
    bool check_operand_count(const Open& open);

    std::vector<Step> steps_;
    std::vector<Operand> operands_;
    std::vector<Open> open_;
    std::optional<ConditionError> error_;
};

}  // namespace durograde::grammar
