#pragma once

#include <optional>
#include <vector>

#include "plan/plan.hpp"
#include "region/bead_log.hpp"
#include "region/footprint.hpp"

namespace durograde::region {

/// The thinnest place of a zone.
struct Thinnest {
    double mm = 0.0;
    geometry::Point at;     ///< on the bed
    double area_mm2 = 0.0;  ///< of the place, at least 1
    int part = 0;
};

/// For each zone of the plan that asks for a thickness (`thinnest_mm`), its thinnest place of 1 mm²
/// or more, within a layer and across layers; nothing where it is as thick as asked for everywhere.
/// Boundaries are taken without their interlock, whose teeth are no walls. Walls are told by the
/// ridges of the distance to what is not the zone: places from which that is as far on two sides
/// that face each other, more or less (after Foskey, Lin and Manocha, Efficient computation of a
/// simplified medial axis, 2003). Faces that lean towards each other by 30 degrees or more are an
/// edge, no wall; and what a ball of the thickness asked for reaches is none (`ThinPlaces`). Parts
/// of one kind are alike: one of each is looked at, or all where a condition asks for `part`.
///
/// Cells are 0.15 mm wide, or wider on large parts; the thickness is told to about one of them,
/// from two on. Nothing is told where the cells are too wide for what is asked, or the layers not
/// flat.
struct Thicknesses {
    std::vector<std::optional<Thinnest>> zones;  ///< as many as the plan has
    double cell_mm = 0.0;
};
Thicknesses measure_thickness(const plan::Plan& plan, const BeadLog& log,
                              const Footprint& footprint,
                              const std::vector<plan::PartPlace>& places);

/// Thicknesses up to here are told, mm.
double thickness_limit_mm(const plan::Plan& plan);

}  // namespace durograde::region
