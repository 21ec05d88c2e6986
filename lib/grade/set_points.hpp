#pragma once

#include <span>
#include <vector>

#include "grade/give.hpp"
#include "plan/plan.hpp"
#include "plan/set_points.hpp"

/// Which tools answer the zones that ask for a hardness, set to what.
namespace durograde::grade {

/// What the tools of `plan` have to offer, those that are alike in one. `tools[i]` are the numbers
/// of offer i, in the plan's order.
struct Offers {
    std::vector<Offer> list;
    std::vector<std::vector<const plan::Tool*>> tools;
};
Offers offers_of(const plan::Plan& plan);

/// The answers to all wishes of a plan.
struct Answers {
    std::vector<plan::SetPoint> set;        ///< for each zone that asks for a hardness
    std::vector<plan::GradientStep> steps;  ///< for its gradient, the firmest first
};

/// The set-points for what of `plan` asks for a hardness. `volumes_mm3` are those of all of its
/// zones; empty where no set-points have to be shared out. `gradient`: the hardnesses that its
/// gradient asks for, by rising hardness, and how many mm³ of each.
Answers choose_set_points(const plan::Plan& plan, std::span<const double> volumes_mm3,
                          std::span<const Wish> gradient = {});

/// Whether the choice rests on how much of the print asks for what: not where every wish gets the
/// best that any tool has for it.
bool rests_on_volumes(const plan::Plan& plan);

}  // namespace durograde::grade
