#include "report/json_firmness.hpp"

#include <cmath>
#include <utility>

namespace durograde::report {
namespace {

Json band(const grade::Band& band) {
    return Json::array({number(band.low), number(band.high)});
}

Json band(const std::optional<grade::Band>& values) {
    return values ? band(*values) : Json(nullptr);
}

Json zone(const grade::ZonePrediction& zone) {
    const bool is_known = zone.modulus_mpa > 0;
    return {{"volume_mm3", number(zone.volume_mm3)},
            {"mass_g", number(zone.mass_g)},
            {"density_g_cm3", measured(zone.density_g_cm3)},
            {"fill", measured(zone.fill)},
            {"hardness_shore_a", measured(zone.shore_a)},
            {"hardness_spread_shore_a", measured(zone.shore_a_spread)},
            {"beads_mpa", measured(zone.modulus_mpa)},
            {"with_gaps_mpa", is_known && zone.fill > 0 ? band(zone.filled_mpa) : Json(nullptr)}};
}

Json part(const grade::PartPrediction& part) {
    return {{"index", part.part},
            {"kind", part.kind},
            {"volume_mm3", number(part.volume_mm3)},
            {"mass_g", number(part.mass_g)},
            {"density_g_cm3", measured(part.density_g_cm3)},
            {"fill", measured(part.fill)},
            {"hardness_shore_a", measured(part.shore_a)},
            {"hardness_spread_shore_a", measured(part.shore_a_spread)},
            {"along_z_n_mm", band(part.along_z_n_mm)},
            {"along_n_mm", band(part.along_n_mm)}};
}

}  // namespace

Json number(double value) {
    if (!std::isfinite(value)) return 0.0;
    return std::round(value * 1e6) / 1e6;
}

Json measured(double value) {
    return value > 0 ? number(value) : Json(nullptr);
}

Json card(const std::optional<plan::CardValues>& values) {
    if (!values) return nullptr;
    const plan::MaterialSpread& spread = values->spread;
    return {{"between_c", {number(values->from_c), number(values->to_c)}},
            {"flow", number(values->flow)},
            {"flow_spread", measured(spread.flow)},
            {"density_g_cm3", measured(values->density_g_cm3)},
            {"density_spread_g_cm3", measured(spread.density_g_cm3)},
            {"hardness_shore_a", measured(values->hardness_shore_a)},
            {"hardness_spread_shore_a", measured(spread.hardness_shore_a)},
            {"ooze_mm3", number(values->ooze_mm3)},
            {"ooze_spread_mm3", measured(spread.ooze_mm3)},
            {"max_flow_mm3_s", measured(values->max_flow_mm3_s)},
            {"max_flow_spread_mm3_s", measured(spread.max_flow_mm3_s)}};
}

Json gradient(const std::optional<grade::GradientFigures>& figures) {
    if (!figures) return nullptr;
    return {{"steps", figures->steps},
            {"volume_mm3", number(figures->volume_mm3)},
            {"asked_shore_a", band(figures->asked_shore_a)},
            {"rms_error", number(figures->rms_shore_a)},
            {"worst_error", number(figures->worst_shore_a)}};
}

Json prediction(const std::optional<grade::Prediction>& prediction) {
    if (!prediction) return nullptr;
    Json zones = Json::array(), parts = Json::array();
    for (const grade::ZonePrediction& one : prediction->zones) zones.push_back(zone(one));
    for (const grade::PartPrediction& one : prediction->parts) parts.push_back(part(one));
    return {{"cell_mm", number(prediction->cell_mm)},
            {"zones", std::move(zones)},
            {"parts", std::move(parts)}};
}

Json cost(const std::optional<grade::CostFigures>& figures) {
    if (!figures) return nullptr;
    const grade::CostFigures& f = *figures;
    const auto optional = [](const std::optional<double>& value) {
        return value ? number(*value) : Json(nullptr);
    };
    return {{"filament", number(f.filament)},
            {"machine", number(f.machine)},
            {"machine_hours", number(f.machine_hours)},
            {"labour", number(f.labour)},
            {"sheet", number(f.sheet)},
            {"failures", number(f.failures)},
            {"good_sheet", number(f.good_sheet)},
            {"good_part", number(f.good_part)},
            {"parts", f.parts},
            {"parts_per_day", optional(f.parts_per_day)},
            {"machine_hours_per_day", optional(f.hours_per_day)}};
}

}  // namespace durograde::report
