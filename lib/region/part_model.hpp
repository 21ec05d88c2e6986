#pragma once

#include <cstdint>
#include <vector>

#include "plan/plan.hpp"
#include "region/bead_log.hpp"
#include "region/footprint.hpp"
#include "region/slice.hpp"

namespace durograde::region {

/// What a part encloses, cell by cell and layer by layer: its beads and the sparse spaces between
/// them, the zone that each cell lies in, and how far beads fill it.
struct PartModel {
    struct Layer {
        double bottom_mm = 0.0, top_mm = 0.0;  ///< above the bed
        std::vector<std::int16_t> zones;       ///< `no_zone` outside
        std::vector<float> fill;               ///< 0 to 1, of a square of 3 mm around the cell

        [[nodiscard]] double height_mm() const noexcept { return top_mm - bottom_mm; }
    };
    int part = 0;
    Grid grid;
    std::vector<Layer> layers;  ///< from the bed up
};

/// One part of each kind, the first. Cells are `cell_mm` wide, or wider where parts are so large
/// that there would be more than 5 million of them. Boundaries of zones are taken without their
/// interlock. Empty where the layers are not flat or a depth that the plan asks for cannot be told.
std::vector<PartModel> model_parts(const plan::Plan& plan, const BeadLog& log,
                                   const Footprint& footprint,
                                   const std::vector<plan::PartPlace>& places, double cell_mm);

}  // namespace durograde::region
