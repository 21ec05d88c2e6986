#pragma once

#include <string>
#include <vector>

#include "check/precision.hpp"
#include "plan/plan.hpp"
#include "region/footprint.hpp"

namespace durograde::check {

/// What must be known of the whole input before its first layer can be judged.
struct FirstLook {
    region::Footprint footprint;  ///< with the plan's parts named
    std::vector<plan::PartPlace> places;
    double bead_mm = 0.0;  ///< mean width
    Decimals decimals;
};

/// Reads all of the input. Throws Failure (Exit::bad_input) where a line cannot be read, or where a
/// place of the plan has no part, or shares one.
FirstLook look_at(const plan::Plan& plan, int fd, const std::string& name);

}  // namespace durograde::check
