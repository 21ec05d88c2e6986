#include <algorithm>
#include <string>
#include <utility>
#include <variant>

#include "plan/condition_checks.hpp"
#include "plan/sections.hpp"
#include "plan/wishes.hpp"

namespace durograde::plan {
namespace {

using grammar::Op;

/// The one comparison is the reader's own: the text is one number and no more.
bool is_one_number(const grammar::Condition& condition) {
    const std::vector<grammar::Step>& steps = condition.steps;
    const auto is_logical = [](const grammar::Step& step) {
        return step.op == Op::truth || step.op >= Op::less;
    };
    return steps.back().op == Op::less_equal &&
           std::count_if(steps.begin(), steps.end(), is_logical) == 1;
}

void read_expression(const Value& value, const Plan& plan, Findings& findings, Gradient& gradient) {
    // What neither side of changes along a layer is only ever held or not: the 0 is one that may.
    auto parsed = grammar::parse_condition("(" + gradient.text + ") <= 0 * x");
    const auto* error = std::get_if<grammar::ConditionError>(&parsed);
    const std::string mend =
        "write a number that changes from place to place: hardness = \"clamp(95 - 8 * "
        "distance(tongue), 60, 95)\"";
    if (error != nullptr) {
        // What was put in front and behind has no place in the text.
        const std::size_t column = error->column > 1 ? error->column - 2 : 0;
        return findings.error_inside("bad-condition", value.spot, value.text,
                                     std::min(column, gradient.text.size()), error->text, mend);
    }
    gradient.below = std::get<grammar::Condition>(std::move(parsed));
    if (!is_one_number(gradient.below))
        return findings.error("bad-condition", value.spot,
                              "`hardness` in [gradient] is no single number", mend);
    check_condition(value, gradient.below, 1, plan, findings);
}

}  // namespace

std::optional<Gradient> read_gradient(TableReader& reader, const Plan& plan) {
    auto table = reader.inner("gradient", "[gradient]");
    if (!table) return std::nullopt;
    Gradient gradient;
    gradient.place = table->findings().place(table->table().spot);
    const bool is_given =
        table->need("hardness", "hardness = \"clamp(95 - 8 * distance(tongue), 60, 95)\"") !=
        nullptr;
    gradient.text = table->text("hardness", "");
    const Value* const value = table->find("hardness");
    if (is_given && value->kind == Kind::text)
        read_expression(*value, plan, table->findings(), gradient);
    const Value* const by = table->find("by");
    if (by != nullptr && by->kind == Kind::text && by->text == "mixed")
        table->refuse(by->spot, "`by = \"mixed\"` in [gradient]", "write by = \"steps\"");
    else
        table->choice("by", {"steps"});
    table->finish();
    if (is_given) can_ask_for_hardness(plan, value->spot, table->findings());
    return gradient;
}

}  // namespace durograde::plan
