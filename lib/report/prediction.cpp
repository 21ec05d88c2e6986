#include "report/prediction.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

#include "grade/elasticity.hpp"

namespace durograde::report {
namespace {

using Out = std::back_insert_iterator<std::string>;

/// Three digits that count.
std::string digits(double value) {
    if (!(value > 0)) return "0";
    const int before = static_cast<int>(std::floor(std::log10(value))) + 1;
    return fmt::format("{:.{}f}", value, std::max(0, 3 - before));
}

std::string band(const grade::Band& band) {
    return digits(band.low) + " to " + digits(band.high);
}

std::string hardness(double shore_a, double spread) {
    if (!(shore_a > 0)) return "-";
    // A sign of two bytes is one column: fields that hold it are one wider.
    return spread > 0 ? fmt::format("{:.1f}±{:.1f}", shore_a, spread)
                      : fmt::format("{:.1f}", shore_a);
}

void row(const std::string& name, double volume_mm3, double density_g_cm3, double fill,
         const std::string& shore_a, const std::string& beads, const std::string& filled, Out out) {
    const std::size_t width = shore_a.find("±") == std::string::npos ? 11 : 12;
    fmt::format_to(out, "  {:<16} {:>10.1f} {:>8} {:>7} {:>{}}", name, volume_mm3,
                   density_g_cm3 > 0 ? fmt::format("{:.3f}", density_g_cm3) : "-",
                   fill > 0 ? fmt::format("{:.0f} %", 100 * fill) : "-", shore_a, width);
    if (!beads.empty()) fmt::format_to(out, " {:>10} {:>16}", beads, filled);
    fmt::format_to(out, "\n");
}

void zones(const grade::Figures& f, Out out) {
    fmt::format_to(out,
                   "\nPrediction      beads, mm³    g/cm³    fill     Shore A  beads MPa  "
                   "with gaps, MPa\n");
    for (std::size_t i = 0; i < f.zones.size(); ++i) {
        const grade::ZonePrediction& zone = f.prediction->zones[i];
        const bool is_known = zone.modulus_mpa > 0;
        row(f.zones[i].name, zone.volume_mm3, zone.density_g_cm3, zone.fill,
            hardness(zone.shore_a, zone.shore_a_spread), is_known ? digits(zone.modulus_mpa) : "-",
            is_known && zone.fill > 0 ? band(zone.filled_mpa) : "-", out);
    }
}

void parts(const grade::Figures& f, const plan::Plan& plan, Out out) {
    for (const grade::PartPrediction& part : f.prediction->parts) {
        row(fmt::format("part {}", part.part), part.volume_mm3, part.density_g_cm3, part.fill,
            hardness(part.shore_a, part.shore_a_spread), "", "", out);
    }
    for (const grade::PartPrediction& part : f.prediction->parts) {
        if (!part.along_z_n_mm) {
            fmt::format_to(out, "  part {}: its stiffness is not known, for some zone's is not\n",
                           part.part);
            continue;
        }
        fmt::format_to(out, "  part {} pressed together: {} N/mm along z", part.part,
                       band(*part.along_z_n_mm));
        if (part.along_n_mm) {
            const plan::Vec3& along = *plan.predict->along;
            fmt::format_to(out, ", {} N/mm along ({:.3g}, {:.3g}, {:.3g})", band(*part.along_n_mm),
                           along[0], along[1], along[2]);
        }
        fmt::format_to(out, "\n");
    }
    if (f.prediction->parts.empty())
        fmt::format_to(out, "  fill and stiffness: not told, for the layers are not flat\n");
}

void assumptions(const grade::Figures& f, const plan::Plan& plan, Out out) {
    fmt::format_to(
        out,
        "  g/cm³: what is fed, over the beads' volume as sliced. Shore A: of the beads, by "
        "the material's\n"
        "  points and their spread (one standard deviation); of a part the mean by "
        "volume.\n");
    if (!f.prediction->parts.empty())
        fmt::format_to(
            out,
            "  Fill: of what the first part of each kind encloses, on cells of {:.2f} mm; "
            "gaps soften by its\n"
            "  power of {:g} to {:g} (Gibson and Ashby).\n",
            f.prediction->cell_mm, plan.predict->exponent.low, plan.predict->exponent.high);
    fmt::format_to(out,
                   "  MPa: Young's modulus after Gent (1958), meant for Shore A 20 to 80; other "
                   "published relations\n"
                   "  differ from it by a factor of about two.\n");
    if (!f.prediction->parts.empty())
        fmt::format_to(out,
                       "  N/mm: small strains between plates, from columns that give one after the "
                       "other (Reuss; one\n"
                       "  with a gap carries nothing) to columns that give alike (Voigt). Not "
                       "measured: press one.\n");
}

}  // namespace

std::string prediction(const grade::Figures& figures, const plan::Plan& plan) {
    std::string text;
    if (!figures.prediction) return text;
    const Out out = std::back_inserter(text);
    zones(figures, out);
    parts(figures, plan, out);
    assumptions(figures, plan, out);
    return text;
}

std::string cost(const grade::Figures& figures) {
    if (!figures.cost_of_sheet) return {};
    const grade::CostFigures& cost = *figures.cost_of_sheet;
    std::string text;
    const Out out = std::back_inserter(text);
    fmt::format_to(out,
                   "\nCost     {:.2f} a sheet: filament {:.2f}, machine {:.2f} ({:.2f} h at {:g}), "
                   "labour {:.2f}\n",
                   cost.sheet, cost.filament, cost.machine, cost.machine_hours,
                   cost.machine_per_hour, cost.labour);
    if (cost.failure_share > 0)
        fmt::format_to(
            out,
            "         {:.2f} a good sheet: {:.2f} more for the {:g} % that fail, taken to "
            "be thrown away whole\n",
            cost.good_sheet, cost.failures, 100 * cost.failure_share);
    if (cost.parts > 0)
        fmt::format_to(out, "         {:.3f} a good part, {} on a sheet\n", cost.good_part,
                       cost.parts);
    if (cost.hours_per_day) {
        fmt::format_to(
            out, "         {:g} good parts a day take {:.1f} h of machine, {:.1f} min each{}\n",
            *cost.parts_per_day, *cost.hours_per_day,
            *cost.hours_per_day * 60 / *cost.parts_per_day,
            *cost.hours_per_day > 24 ? ": more than one machine" : "");
    }
    return text;
}

}  // namespace durograde::report
