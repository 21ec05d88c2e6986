/// @file
/// The lines that fill a region, joined end to end where they lie side by side.
#pragma once

#include <functional>

#include "outline.hpp"

namespace durograde::sheets {

/// What is filled, and how.
struct InfillForm {
    RoundedBox region;
    RoundedBox hole;  ///< nothing is drawn in it; none if it does not exist
    double angle_deg = 45;
    double spacing_mm = 1;
    bool wavy = false;
    double segment_mm = 0.5;
    double wave_mm = 0;
    double wavelength_mm = 1;
};

/// Calls `draw` with each unbroken path. The path is good for the length of the call.
void trace_infill(const InfillForm& form, const std::function<void(const Path&)>& draw);

}  // namespace durograde::sheets
