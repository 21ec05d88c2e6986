#include "plan/condition_checks.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "plan/keys.hpp"

namespace durograde::plan {
namespace {

using grammar::Op;

/// Depths beyond the limit are not told apart: a boundary there would never be found.
void check_depths(const Value& value, const std::vector<grammar::Step>& steps, std::size_t before,
                  const Plan& plan, Findings& findings) {
    const double limit_mm = plan.depth.limit_mm - plan.split.interlock_mm;
    for (std::size_t i = 2; i < steps.size(); ++i) {
        const bool compares = steps[i].op >= Op::less && steps[i].op <= Op::greater_equal;
        const grammar::Step &a = steps[i - 2], &b = steps[i - 1];
        const bool has_both =
            (a.op == Op::depth && b.op == Op::number) || (a.op == Op::number && b.op == Op::depth);
        if (!compares || !has_both) continue;
        const double wanted_mm = a.op == Op::number ? a.number : b.number;
        if (wanted_mm < limit_mm) continue;
        findings.error_inside("beyond-limit", value.spot, value.text, b.column - 1 - before,
                              "depth is told up to " + shown(limit_mm) +
                                  " mm, and is compared with " + shown(wanted_mm) + " mm",
                              "raise `limit` in [depth], or compare with less");
    }
}

void check_shape(const Value& value, const grammar::Step& step, std::size_t before,
                 const Plan& plan, Findings& findings) {
    if (step.op != Op::distance) return;
    std::vector<std::string_view> names;
    std::string all;
    for (const Shape& shape : plan.shapes) {
        names.push_back(shape.name);
        all += (all.empty() ? "the shapes are " : ", ") + shape.name;
    }
    if (std::find(names.begin(), names.end(), step.name) != names.end()) return;
    const std::string_view guess = nearest(step.name, names);
    const std::string meant =
        guess.empty() ? std::string() : "did you mean `" + std::string(guess) + "`? ";
    findings.error_inside("unknown-shape", value.spot, value.text, step.column - 1 - before,
                          "there is no [[shape]] `" + step.name.substr(0, 40) + "`",
                          meant + (all.empty() ? "add a [[shape]] of that name" : all));
}

}  // namespace

void check_condition(const Value& value, const grammar::Condition& condition, std::size_t before,
                     const Plan& plan, Findings& findings) {
    for (const grammar::Step& step : condition.steps)
        check_shape(value, step, before, plan, findings);
    check_depths(value, condition.steps, before, plan, findings);
}

}  // namespace durograde::plan
