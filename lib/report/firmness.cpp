#include "report/firmness.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

namespace durograde::report {

std::string firmness(const grade::Figures& figures) {
    std::string text;
    const auto out = std::back_inserter(text);
    double volume_mm3 = 0.0, squares = 0.0;
    for (const grade::ZoneFigures& zone : figures.zones) {
        if (!zone.asked_shore_a) continue;
        const double off = zone.hardness_shore_a - *zone.asked_shore_a;
        volume_mm3 += zone.volume_mm3;
        squares += zone.volume_mm3 * off * off;
        fmt::format_to(out, "  {:<20} {:>7.1f} {:>9.1f} {:>9.1f}   T{} at {:g} °C\n", zone.name,
                       *zone.asked_shore_a, zone.hardness_shore_a, off, zone.tool,
                       zone.temperature_c);
    }
    if (text.empty() && !figures.gradient) return text;
    if (volume_mm3 > 0)
        fmt::format_to(out, "  root mean square error by volume {:>17.2f}\n",
                       std::sqrt(squares / volume_mm3));
    if (figures.gradient) {
        const grade::GradientFigures& of = *figures.gradient;
        for (std::size_t i = 0; i < of.steps; ++i) {
            const grade::ZoneFigures& zone = figures.zones[of.first_zone + i];
            fmt::format_to(out, "  {:<20} {:>7} {:>9.1f} {:>9}   T{} at {:g} °C\n", zone.name, "",
                           zone.hardness_shore_a, "", zone.tool, zone.temperature_c);
        }
        fmt::format_to(
            out,
            "  gradient from {:.1f} to {:.1f} in {} steps: root mean square error {:.2f}, "
            "worst {:.2f}\n",
            of.asked_shore_a.high, of.asked_shore_a.low, of.steps, of.rms_shore_a,
            of.worst_shore_a);
    }
    return "\nFirmness, Shore A        asked     given     error   set to\n" + text;
}

}  // namespace durograde::report
