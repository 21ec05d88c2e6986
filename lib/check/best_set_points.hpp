#pragma once

#include <vector>

#include "plan/plan.hpp"

namespace durograde::check {

/// How much of the print asks for a hardness.
struct Asked {
    double shore_a = 0.0, weight = 0.0;
};

/// The least that the squares of what wishes are off by can add up to, each by its share of all
/// weights: over all set-points that the tools of `plan` may have. Set-points are chosen from the
/// softest on; a wish between two of them goes to the nearer one. Shore A squared.
double least_cost(const plan::Plan& plan, std::vector<Asked> asked);

}  // namespace durograde::check
