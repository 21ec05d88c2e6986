#pragma once

#include <optional>
#include <string>

#include "condition.hpp"
#include "plan/machine.hpp"
#include "text/diagnostic.hpp"

/// What the plan asks to be told of the print, and a hardness by place.
namespace durograde::plan {

/// What is told of the parts before they are printed.
struct Predict {
    std::optional<Vec3> along;  ///< beside z: a direction in the part's own coordinates, length 1
    double cell_mm = 0.5;
    /// Of Gibson and Ashby's relation, by which sparse places are softer than what they are of.
    Range exponent{1.0, 2.0};
};

/// What a sheet costs beside its filament.
struct Cost {
    double machine_per_hour = 0.0, labour_per_sheet = 0.0;
    double failure_share = 0.0;           ///< of sheets, below 1
    std::optional<double> parts_per_day;  ///< that are wanted
};

/// A hardness that changes from place to place.
struct Gradient {
    std::string text;          ///< the expression, in Shore A
    grammar::Condition below;  ///< "text <= 0 * x": its margin is the expression
    Place place;
};

}  // namespace durograde::plan
