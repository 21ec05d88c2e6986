#include "grade/predict.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "grade/columns.hpp"
#include "grade/elasticity.hpp"
#include "region/part_model.hpp"
#include "region/zones.hpp"

namespace durograde::grade {
namespace {

ZonePrediction beads_of(const ZoneFigures& figures) {
    ZonePrediction zone;
    zone.volume_mm3 = figures.volume_mm3;
    zone.mass_g = figures.mass_g;
    if (zone.volume_mm3 > 0) zone.density_g_cm3 = zone.mass_g * 1e3 / zone.volume_mm3;
    if (!figures.card || !(figures.card->hardness_shore_a > 0)) return zone;
    zone.shore_a = figures.card->hardness_shore_a;
    zone.shore_a_spread = figures.card->spread.hardness_shore_a;
    zone.modulus_mpa = gent_mpa(zone.shore_a);
    return zone;
}

std::vector<ZoneModulus> moduli_of(const std::vector<ZonePrediction>& zones) {
    std::vector<ZoneModulus> moduli;
    for (const ZonePrediction& zone : zones) {
        if (zone.shore_a > 0) {
            moduli.push_back({gent_mpa(zone.shore_a - zone.shore_a_spread),
                              gent_mpa(zone.shore_a + zone.shore_a_spread)});
        } else {
            moduli.push_back({});
        }
    }
    return moduli;
}

/// What each zone encloses of one part, mm³.
std::vector<double> envelopes_of(const region::PartModel& model, std::size_t zones) {
    std::vector<double> mm3(zones);
    const double area_mm2 = model.grid.cell_mm * model.grid.cell_mm;
    for (const auto& layer : model.layers) {
        for (const std::int16_t zone : layer.zones)
            if (zone != region::no_zone)
                mm3[static_cast<std::size_t>(zone)] += area_mm2 * layer.height_mm();
    }
    return mm3;
}

double share(double of, double all) {
    return all > 0 ? std::min(1.0, of / all) : 0.0;
}

/// The mean by volume; the card errs for all zones alike, so that spreads add up as values do.
void mix_hardness(const std::vector<double>& zone_mm3, const std::vector<ZonePrediction>& zones,
                  PartPrediction& part) {
    for (std::size_t i = 0; i < zones.size(); ++i) {
        if (zone_mm3[i] <= 0) continue;
        if (!(zones[i].shore_a > 0)) {
            part.shore_a = part.shore_a_spread = 0.0;
            return;
        }
        part.shore_a += zones[i].shore_a * zone_mm3[i] / part.volume_mm3;
        part.shore_a_spread += zones[i].shore_a_spread * zone_mm3[i] / part.volume_mm3;
    }
}

/// From the part's own axes to the bed's.
plan::Vec3 turned(const plan::Vec3& along, double turn_deg) {
    const double turn_rad = turn_deg * std::numbers::pi / 180.0;
    const double c = std::cos(turn_rad), s = std::sin(turn_rad);
    return {along[0] * c - along[1] * s, along[0] * s + along[1] * c, along[2]};
}

PartPrediction part_of(const PartFigures& figures, int number) {
    PartPrediction part;
    part.part = number;
    part.kind = figures.kind;
    part.mass_g = figures.mass_g;
    for (const double mm3 : figures.zone_mm3) part.volume_mm3 += mm3;
    if (part.volume_mm3 > 0) part.density_g_cm3 = part.mass_g * 1e3 / part.volume_mm3;
    return part;
}

}  // namespace

Prediction predict(const plan::Plan& plan, const Survey& survey, const Figures& figures) {
    Prediction prediction;
    for (const ZoneFigures& zone : figures.zones) prediction.zones.push_back(beads_of(zone));
    std::vector<ZonePrediction>& zones = prediction.zones;
    const std::vector<ZoneModulus> moduli = moduli_of(zones);
    std::vector<double> filled_mm3(zones.size());
    for (const region::PartModel& model : region::model_parts(
             plan, *survey.beads, *survey.footprint, survey.places, plan.predict->cell_mm)) {
        const auto number = static_cast<std::size_t>(model.part);
        const PartFigures& of = figures.parts[number];
        PartPrediction part = part_of(of, model.part);
        mix_hardness(of.zone_mm3, zones, part);
        const std::vector<double> envelopes = envelopes_of(model, zones.size());
        for (std::size_t i = 0; i < zones.size(); ++i) {
            zones[i].envelope_mm3 += envelopes[i];
            filled_mm3[i] += of.zone_mm3[i];
            part.envelope_mm3 += envelopes[i];
        }
        part.fill = share(part.volume_mm3, part.envelope_mm3);
        part.along_z_n_mm = stiffness_along_z(model, moduli, plan.predict->exponent);
        if (plan.predict->along) {
            part.along_n_mm =
                stiffness_along(model, turned(*plan.predict->along, survey.places[number].turn_deg),
                                moduli, plan.predict->exponent);
        }
        prediction.cell_mm = model.grid.cell_mm;
        prediction.parts.push_back(part);
    }
    for (std::size_t i = 0; i < zones.size(); ++i) {
        zones[i].fill = share(filled_mm3[i], zones[i].envelope_mm3);
        if (!(zones[i].fill > 0)) continue;
        zones[i].filled_mpa = {
            filled_mpa(moduli[i].low, zones[i].fill, plan.predict->exponent.high),
            filled_mpa(moduli[i].high, zones[i].fill, plan.predict->exponent.low)};
    }
    return prediction;
}

}  // namespace durograde::grade
