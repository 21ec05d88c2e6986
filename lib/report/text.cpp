#include "report/text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "report/card.hpp"
#include "report/caution.hpp"
#include "report/edits.hpp"
#include "report/filament.hpp"
#include "report/firmness.hpp"
#include "report/prediction.hpp"
#include "report/words.hpp"

namespace durograde::report {

using grade::Figures;
using grade::LayerFigures;
using grade::ZoneFigures;

namespace {

using Out = std::back_insert_iterator<std::string>;

std::string change(double before_s, double after_s) {
    const double difference = after_s - before_s;
    return fmt::format("{}{}", difference < 0 ? "-" : "+", duration(std::abs(difference)));
}

/// Where commands part layers, no count of swaps is called the fewest possible.
void swaps(const Figures& f, Out out) {
    if (f.fewest_swaps_parted <= f.fewest_swaps) {
        fmt::format_to(
            out, "Swaps    {} (tool changes; the fewest possible with each layer's tools: {})\n",
            f.swaps, f.fewest_swaps);
        return;
    }
    fmt::format_to(
        out,
        "Swaps    {} (tool changes), {} of them for commands that no bead may be moved across\n",
        f.swaps, f.fewest_swaps_parted - f.fewest_swaps);
    constexpr std::size_t shown = 3;
    for (std::size_t i = 0; i < std::min(shown, f.barriers.size()); ++i) {
        const grade::BarrierFigures& barrier = f.barriers[i];
        fmt::format_to(out, "         {} parts layers {} and costs {} of them\n", barrier.command,
                       barrier.times == 1 ? "once" : fmt::format("{} times", barrier.times),
                       barrier.swaps);
    }
}

void head(const Figures& f, Out out) {
    fmt::format_to(out, "{}  graded by plan \"{}\"\n\n", f.input_name, f.plan_name);
    if (f.nothing_asked) {
        fmt::format_to(out, "The plan asks for nothing: the output is the input, byte for byte.\n");
        return;
    }
    const double top = f.layer_list.empty() ? 0.0 : f.layer_list.back().z_mm;
    fmt::format_to(out, "Print    {}, {}", counted(f.parts.size(), "part"),
                   counted(static_cast<std::uint64_t>(f.layers), "layer"));
    if (top > 0) fmt::format_to(out, ", {:.2f} mm high", top);
    fmt::format_to(out, "\nTime     {} graded, {} as sliced ({})\n", duration(f.after_s),
                   duration(f.before_s), change(f.before_s, f.after_s));
    fmt::format_to(out, "         {} printing, {} travel, {} swapping, {} waiting for heat",
                   duration(f.printing_s), duration(f.travel_s), duration(f.swaps_s),
                   duration(f.waiting_s));
    if (f.priming_s > 0) fmt::format_to(out, ",\n         {} priming", duration(f.priming_s));
    fmt::format_to(out, ", {} start and end\n", duration(f.start_and_end.printing_s));
    swaps(f, out);
    if (f.temperature_changes > 0) {
        fmt::format_to(out,
                       "Changes  {} to another temperature of the same tool, each with a wait\n",
                       f.temperature_changes);
    }
    fmt::format_to(out, "Cuts     {} cut at zone boundaries\n",
                   counted(static_cast<std::uint64_t>(f.cuts), "bead"));
    fmt::format_to(
        out,
        "Strings  {:.2f} m of travel over open air ({:.2f} m as sliced), {:.2f} m of it not "
        "retracted\n",
        f.open_air.all.after_mm * 1e-3, f.open_air.all.before_mm * 1e-3,
        f.open_air.all.bare_mm * 1e-3);
    fmt::format_to(out, "         ");
    if (f.protects)
        fmt::format_to(out, "{} newly protected; ",
                       counted(static_cast<std::uint64_t>(f.protected_travels), "travel"));
    fmt::format_to(out, "{} ({} as sliced)\n",
                   counted(static_cast<std::uint64_t>(f.retractions_after()), "retraction"),
                   f.retractions_before);
}

void proof(const check::Verdict& verdict, Out out) {
    const auto fell = std::count_if(verdict.findings.begin(), verdict.findings.end(),
                                    [](const check::Finding& finding) { return !finding.held; });
    fmt::format_to(out, "Proof    {} of {} checks hold, proven from input and output alone\n",
                   static_cast<std::ptrdiff_t>(verdict.findings.size()) - fell,
                   verdict.findings.size());
}

void material(const Figures& f, const plan::Plan& plan, Out out) {
    if (!plan.material.has_value()) {
        fmt::format_to(out,
                       "Material no [material] in the plan: flow 1 everywhere, no mass, no cost\n");
        return;
    }
    fmt::format_to(out, "Material {:.1f} g, cost {:.2f}", f.mass_g(), f.cost());
    if (!f.parts.empty()) {
        double cost = 0.0;
        for (const auto& part : f.parts) cost += part.cost;
        fmt::format_to(out, ", {:.3f} per part", cost / static_cast<double>(f.parts.size()));
    }
    const auto also = [](std::string_view what, double mm3) {
        return mm3 >= 0.5 ? fmt::format("{} {:.0f} mm³, ", what, mm3) : std::string();
    };
    fmt::format_to(out, "; thrown away {:.2f} g (primed {:.0f} mm³, {}{}oozed {:.0f} mm³)\n",
                   f.waste_mass_g, f.prime_mm3, also("block", f.block_mm3),
                   also("restarts", f.restart_mm3) + also("around swaps", f.swap_lines_mm3),
                   f.ooze_mm3);
}

void zone_row(const ZoneFigures& zone, Out out) {
    const std::string tool = zone.tool < 0 ? "kept" : fmt::format("T{}", zone.tool);
    const std::string heat =
        zone.temperature_c > 0 ? fmt::format("{:g} °C", zone.temperature_c) : "kept";
    const std::string hard =
        zone.hardness_shore_a > 0 ? fmt::format("{:.0f}", zone.hardness_shore_a) : "-";
    const std::string mass = zone.mass_g > 0 ? fmt::format("{:.2f}", zone.mass_g) : "-";
    const std::string thin =
        zone.thinnest ? fmt::format("{:.2f} mm", zone.thinnest->mm) : std::string("-");
    // A degree sign is one column but two bytes: its field is one wider.
    const int heat_width = zone.temperature_c > 0 ? 9 : 8;
    fmt::format_to(out, "  {:<16} {:>4} {:>{}} {:>10.2f} {:>12.1f} {:>9} {:>9} {:>9} {:>11}\n",
                   zone.name, tool, heat, heat_width, zone.length_mm * 1e-3, zone.volume_mm3, mass,
                   hard, thin, duration(zone.printing_s));
}

void zones(const Figures& f, Out out) {
    if (f.zones.empty() || f.nothing_asked) return;
    fmt::format_to(out,
                   "\nZones              tool   set to     bead m       mm³         g   Shore A  "
                   "thinnest    printing\n");
    for (const ZoneFigures& zone : f.zones) zone_row(zone, out);
    if (f.outside.length_mm > 0) zone_row(f.outside, out);
    if (f.block.length_mm > 0) zone_row(f.block, out);
    if (f.start_and_end.printing_s > 0) zone_row(f.start_and_end, out);
}

void tools(const Figures& f, Out out) {
    if (f.tools.empty() || f.nothing_asked) return;
    fmt::format_to(out,
                   "\nTools  visits    printing    idle hot     standby         off     waiting  "
                   "filament m\n");
    for (const auto& [number, t] : f.tools) {
        fmt::format_to(out, "  T{:<3} {:>7} {:>11} {:>11} {:>11} {:>11} {:>11} {:>11.2f}\n", number,
                       t.visits, duration(t.printing_s), duration(t.idle_s), duration(t.standby_s),
                       duration(t.off_s), duration(t.wait_s), t.filament_mm * 1e-3);
    }
}

/// How evenly each zone flows; foaming rests on it.
void flows(const Figures& f, Out out) {
    const auto has_flow = [](const ZoneFigures& zone) { return !zone.flow.empty(); };
    if (f.nothing_asked || std::none_of(f.zones.begin(), f.zones.end(), has_flow)) return;
    fmt::format_to(out,
                   "\nFlow, mm³/s        slowest 5 %    median  fastest 5 % residence time, s\n");
    for (const ZoneFigures& zone : f.zones) {
        if (zone.flow.empty()) continue;
        const double slow = zone.flow.at(0.05), fast = zone.flow.at(0.95);
        const std::string residence =
            zone.melt_mm3 > 0
                ? fmt::format("{:.0f} to {:.0f}", zone.melt_mm3 / fast, zone.melt_mm3 / slow)
                : std::string("-");
        fmt::format_to(out, "  {:<16} {:>11.2f} {:>9.2f} {:>12.2f} {:>17}\n", zone.name, slow,
                       zone.flow.at(0.5), fast, residence);
    }
}

void open_air_row(const std::string& name, const grade::OpenAirFigures& air, Out out) {
    if (air.before_mm <= 0 && air.after_mm <= 0) return;
    fmt::format_to(out, "  {:<20} {:>9.2f} {:>9.2f} {:>14.2f}\n", name, air.before_mm * 1e-3,
                   air.after_mm * 1e-3, air.bare_mm * 1e-3);
}

/// Which bead a travel over open air leaves: by zone, by set-point, and the part that leads.
void open_air(const Figures& f, Out out) {
    const grade::OpenAirAccount& air = f.open_air;
    if (f.nothing_asked || (air.all.before_mm <= 0 && air.all.after_mm <= 0)) return;
    fmt::format_to(out, "\nOpen air, m            sliced    graded  not retracted\n");
    for (const auto& [zone, figures] : air.zones) {
        const bool is_part = zone != region::no_zone;
        open_air_row("from " + (is_part ? f.zones[static_cast<std::size_t>(zone)].name : "outside"),
                     figures, out);
    }
    for (const auto& [celsius, figures] : air.temperatures) {
        open_air_row(celsius > 0 ? fmt::format("at {:g} °C", celsius) : "temperature unknown",
                     figures, out);
    }
    const auto most = std::max_element(
        air.parts.begin(), air.parts.end(),
        [](const auto& a, const auto& b) { return a.second.after_mm < b.second.after_mm; });
    if (most->first == region::outside) return;
    open_air_row(fmt::format("most: part {}", most->first), most->second, out);
}

void layers(const Figures& f, Out out) {
    if (f.layer_list.empty()) return;
    const auto slower = [](const LayerFigures& a, const LayerFigures& b) {
        return a.time_s < b.time_s;
    };
    const auto [quick, slow] =
        std::minmax_element(f.layer_list.begin(), f.layer_list.end(), slower);
    double sum = 0.0;
    long most_swaps = 0;
    for (const LayerFigures& layer : f.layer_list) {
        sum += layer.time_s;
        most_swaps = std::max(most_swaps, layer.swaps);
    }
    fmt::format_to(out,
                   "\nLayers {} each on average; quickest {} (z {:.2f}), slowest {} (z {:.2f})\n",
                   duration(sum / static_cast<double>(f.layer_list.size())),
                   duration(quick->time_s), quick->z_mm, duration(slow->time_s), slow->z_mm);
    fmt::format_to(out, "       at most {} swaps in one layer\n", most_swaps);
}

void warnings(const Figures& f, Out out) {
    if (f.warnings.empty()) {
        fmt::format_to(out, "\nNo warnings.\n");
        return;
    }
    fmt::format_to(out, "\nLook at these before printing\n");
    for (const Diagnostic& warning : f.warnings) {
        fmt::format_to(out, "  - {} [{}]\n", warning.text, warning.code);
        if (!warning.mend.empty()) fmt::format_to(out, "    fix: {}\n", warning.mend);
    }
}

}  // namespace

std::string text(const Figures& figures, const check::Verdict& verdict, const plan::Plan& plan) {
    std::string result;
    const Out out = std::back_inserter(result);
    head(figures, out);
    if (!figures.nothing_asked) {
        proof(verdict, out);
        material(figures, plan, out);
        fmt::format_to(out, "{}", filament_line(figures));
    }
    zones(figures, out);
    result += firmness(figures);
    result += card(figures);
    result += prediction(figures, plan);
    result += cost(figures);
    tools(figures, out);
    flows(figures, out);
    open_air(figures, out);
    layers(figures, out);
    result += edits(figures);
    warnings(figures, out);
    if (!figures.nothing_asked) fmt::format_to(out, "\n{}", caution);
    return harmless(std::move(result));
}

}  // namespace durograde::report
