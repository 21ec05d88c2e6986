#pragma once

#include <span>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::plan {

/// Into how many places of hardness, a quarter of Shore A each, a gradient is sorted.
inline constexpr std::size_t gradient_bins = 401;

/// What tools with a range may be set to: the whole degrees within it, as controllers take them,
/// and both its ends. By rising temperature.
std::vector<double> set_points_within(const Range& range_c);

/// A step of a gradient: where it asks for `from_shore_a` or more, and for less than the step
/// before does.
struct GradientStep {
    double from_shore_a = 0.0;  ///< of the last step: no matter
    int tool = 0;
    double temperature_c = 0.0;

    friend bool operator==(const GradientStep&, const GradientStep&) = default;
};

/// The plan with its wishes answered: each zone that asks for a hardness has the tool and the
/// temperature that `set` gives it. A tool with a range then stands at the coldest of what it was
/// given, or at its lowest where it was given nothing.
/// What follows the gradient, where there is one, has its `steps` as zones behind those of the
/// plan, the firmest first; the last one holds everywhere.
Plan with_set_points(const Plan& plan, std::span<const SetPoint> set,
                     std::span<const GradientStep> steps = {});

}  // namespace durograde::plan
