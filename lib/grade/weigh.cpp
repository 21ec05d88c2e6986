#include "grade/weigh.hpp"

#include "region/footprint.hpp"
#include "region/zones.hpp"

namespace durograde::grade {
namespace {

/// Of filament that goes in.
double mass_g(const plan::Plan& plan, double filament_mm) {
    if (!plan.material) return 0.0;
    return filament_mm * plan.machine.filament_area_mm2() *
           plan.material->filament_density_g_cm3() * 1e-3;
}

}  // namespace

void take_off_coasted(const plan::Plan& plan,
                      const std::map<std::pair<int, int>, double>& coasted_mm, Figures& figures) {
    for (const auto& [place, mm] : coasted_mm) {
        const auto [zone, part] = place;
        const double grams = mass_g(plan, mm);
        ZoneFigures& entry = zone == region::no_zone
                                 ? figures.outside
                                 : figures.zones[static_cast<std::size_t>(zone)];
        entry.filament_mm -= mm;
        entry.mass_g -= grams;
        if (part == region::outside) continue;
        PartFigures& of = figures.parts[static_cast<std::size_t>(part)];
        of.mass_g -= grams;
        of.cost -= grams * 1e-3 * plan.material.value_or(plan::Material{}).price_per_kg;
    }
}

void weigh_start_and_end(const plan::Plan& plan, Figures& figures) {
    figures.start_and_end.mass_g = mass_g(plan, figures.start_and_end.filament_mm);
}

}  // namespace durograde::grade
