#include "condition_limits.hpp"

#include <string>
#include <vector>

#include "condition_faults.hpp"

namespace durograde::grammar {
namespace {

/// How deep the parser stands in itself at one place of the text: one level for each bracket that
/// is open and for each prefix operator whose operand is not complete. `-` waits for one operand,
/// `not` for a whole comparison.
class Nesting {
  public:
    [[nodiscard]] std::size_t depth() const { return depth_; }

    void prefix_not() { ++pending_.back().nots, ++depth_; }
    void prefix_minus() { ++pending_.back().minuses, ++depth_; }

    void open() {
        pending_.emplace_back();
        ++depth_;
    }
    void close() {
        if (pending_.size() == 1) return;
        join();
        pending_.pop_back();
        --depth_;
        operand();
    }
    void operand() {
        depth_ -= pending_.back().minuses;
        pending_.back().minuses = 0;
    }
    void join() {
        operand();
        depth_ -= pending_.back().nots;
        pending_.back().nots = 0;
    }

  private:
    struct Pending {
        std::size_t nots = 0, minuses = 0;
    };
    std::vector<Pending> pending_ = std::vector<Pending>(1);  // for each bracket that is open
    std::size_t depth_ = 0;
};

/// Takes one word or sign; returns whether an operand has just ended.
bool take(Nesting& nesting, std::string_view word, char sign, bool after_operand) {
    if (word == "not") {
        nesting.prefix_not();
    } else if (word == "and" || word == "or" || sign == ',') {
        nesting.join();
    } else if (sign == '-' && !after_operand) {
        nesting.prefix_minus();
    } else if (sign == '(') {
        nesting.open();
    } else if (sign == ')') {
        nesting.close();
        return true;
    } else if (!word.empty() || is_digit(sign) || sign == '.') {
        nesting.operand();
        return true;
    } else {
        return is_blank(sign) && after_operand;
    }
    return false;
}

}  // namespace

std::optional<ConditionError> beyond_limits(std::string_view text) {
    if (text.size() > condition_length_limit)
        return ConditionError{
            static_cast<std::uint32_t>(condition_length_limit + 1),
            "the condition is longer than " + std::to_string(condition_length_limit) + " bytes",
            "split it over several zones"};
    Nesting nesting;
    bool after_operand = false;
    for (std::size_t i = 0; i < text.size();) {
        const std::string_view word = word_at(text, i);
        after_operand = take(nesting, word, text[i], after_operand);
        if (nesting.depth() > condition_depth_limit)
            return ConditionError{
                static_cast<std::uint32_t>(i + 1),
                "the condition is nested more than " + std::to_string(condition_depth_limit) +
                    " deep",
                "take out brackets, `not` or `-`, or split the condition over several zones"};
        i += word.empty() ? 1 : word.size();
    }
    return std::nullopt;
}

}  // namespace durograde::grammar
