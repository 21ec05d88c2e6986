#pragma once

#include <vector>

#include "plan/findings.hpp"
#include "plan/plan.hpp"
#include "plan/value.hpp"

namespace durograde::plan {

/// A point of the material as it was read, and where the plan says so.
struct ReadPoint {
    MaterialPoint point;
    const Value* table = nullptr;
};

/// Holds the points of a material against each other and against what any foaming filament does.
/// `points` as the plan has them, each with a temperature; they are by rising temperature after it.
/// `filament_density_g_cm3`: 0 where not given.
void judge_card(std::vector<ReadPoint>& points, double filament_density_g_cm3, Findings& findings);

/// Whether there is a curve through the points: two or more, by rising temperature, none doubled.
bool make_a_curve(const std::vector<MaterialPoint>& points);

/// A hardness that two temperatures give.
struct TwiceHard {
    double hardness_shore_a = 0.0, colder_c = 0.0, hotter_c = 0.0;
};
/// The first one, or nothing where the hardness changes one way all along. `points` make a
/// curve, all with a hardness.
std::optional<TwiceHard> find_twice_hard(const std::vector<MaterialPoint>& points);

}  // namespace durograde::plan
