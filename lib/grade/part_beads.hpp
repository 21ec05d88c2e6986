#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "grade/part_depth.hpp"
#include "grade/survey.hpp"
#include "plan/plan.hpp"
#include "region/zones.hpp"

namespace durograde::grade {

/// A bead of the log as a line at its layer's height.
struct BeadLine {
    geometry::Point from, to;
    double length_mm = 0.0, volume_mm3 = 0.0;

    BeadLine(const region::BeadLog::Bead& bead, double z_mm)
        : volume_mm3(static_cast<double>(bead.volume_mm3)) {
        constexpr double unit = region::BeadLog::mm_per_unit;
        from = {bead.from_x * unit, bead.from_y * unit, z_mm};
        to = {bead.to_x * unit, bead.to_y * unit, z_mm};
        length_mm = std::hypot(to.x - from.x, to.y - from.y);
    }
    [[nodiscard]] geometry::Point at(double share) const {
        return {from.x + share * (to.x - from.x), from.y + share * (to.y - from.y), from.z};
    }
};

/// Calls `take(line, spot_of)` for each bead of a part that `survey` kept; `spot_of(share)` is the
/// place at a share of its length as conditions see it. Throws Failure (Exit::bad_input) where a
/// depth that the plan asks for cannot be told.
template <typename Take>
void for_part_beads(const plan::Plan& plan, const Survey& survey, const std::string& input_name,
                    Take take) {
    const std::unique_ptr<region::Depth> depth = measure_depth(plan, input_name, survey);
    std::vector<region::Placement> placements;
    for (const plan::PartPlace& place : survey.places)
        placements.emplace_back(place, static_cast<int>(placements.size()), depth.get());
    std::vector<region::BeadLog::Bead> beads;
    long number = 0;  // of the layer; it begins anew where height falls
    double z_mm = -1e30;
    for (const region::BeadLog::Layer& layer : survey.beads->layers()) {
        number = layer.z_mm > z_mm && z_mm > -1e30 ? number + 1 : 0;
        z_mm = layer.z_mm;
        if (depth) depth->seek(z_mm);
        survey.beads->read(layer, beads);
        for (const region::BeadLog::Bead& bead : beads) {
            const BeadLine line(bead, z_mm);
            const geometry::Point middle = line.at(0.5);
            const int part = survey.footprint->part_at(middle.x, middle.y);
            if (part == region::outside || !(line.length_mm > 0)) continue;
            const region::Placement& placement = placements[static_cast<std::size_t>(part)];
            take(line, [&](double share) { return placement.spot(line.at(share), number); });
        }
    }
}

}  // namespace durograde::grade
