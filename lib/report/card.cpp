#include "report/card.hpp"

#include <fmt/format.h>

#include <iterator>
#include <map>

namespace durograde::report {
namespace {

using Out = std::back_insert_iterator<std::string>;

/// A measured value with its spread, or a dash where it was not measured.
std::string measured(double value, double spread, int decimals) {
    if (!(value > 0)) return "-";
    if (!(spread > 0)) return fmt::format("{:.{}f}", value, decimals);
    return fmt::format("{:.{}f}±{:.{}f}", value, decimals, spread, decimals);
}

/// As wide as people see it: every character of more than one byte is one column.
std::string right(const std::string& text, std::size_t width) {
    std::size_t seen = 0;
    for (const char c : text) seen += (static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1 : 0;
    return std::string(width > seen ? width - seen : 0, ' ') + text;
}

void row(const plan::CardValues& card, Out out) {
    const plan::MaterialSpread& spread = card.spread;
    const std::string from =
        card.is_measured()
            ? "measured there"
            : fmt::format("between the points at {:g} and {:g} °C", card.from_c, card.to_c);
    fmt::format_to(out, "  {}{}{}{}{}{}  {}\n",
                   right(fmt::format("{:g} °C", card.temperature_c), 7),
                   right(measured(card.flow, spread.flow, 3), 15),
                   right(measured(card.density_g_cm3, spread.density_g_cm3, 3), 14),
                   right(measured(card.hardness_shore_a, spread.hardness_shore_a, 1), 12),
                   right(measured(card.ooze_mm3, spread.ooze_mm3, 2), 12),
                   right(measured(card.max_flow_mm3_s, spread.max_flow_mm3_s, 1), 12), from);
}

}  // namespace

std::string card(const grade::Figures& figures) {
    std::map<double, plan::CardValues> used;
    for (const grade::ZoneFigures& zone : figures.zones)
        if (zone.card) used.emplace(zone.card->temperature_c, *zone.card);
    if (used.empty()) return {};
    std::string text =
        "\nCard               flow         g/cm³     Shore A    ooze mm³  most mm³/s\n";
    for (const auto& [celsius, values] : used) row(values, std::back_inserter(text));
    return text;
}

}  // namespace durograde::report
