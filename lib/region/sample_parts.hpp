#pragma once

#include <vector>

#include "plan/plan.hpp"
#include "region/footprint.hpp"

namespace durograde::region {

/// Parts of one kind are alike: which are the first of theirs.
std::vector<bool> first_of_each_kind(const std::vector<plan::PartPlace>& places);

/// Of the boxes around the wanted parts, with 2 mm to all sides.
double area_around_mm2(const Footprint& footprint, const std::vector<bool>& wanted);

}  // namespace durograde::region
