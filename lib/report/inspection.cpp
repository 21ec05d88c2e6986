#include "report/inspection.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string_view>
#include <variant>

#include "region/parts.hpp"
#include "report/words.hpp"

namespace durograde::report {
namespace {

using Out = std::back_insert_iterator<std::string>;

constexpr int most_kinds = 8;  // a sheet with more is one of islands that touch

/// Parts as they are found, ready to be put into a plan. `word` is what asks for it.
void places(const std::variant<region::Found, region::Misplaced>& parts, std::string_view word,
            Out out) {
    if (const auto* misplaced = std::get_if<region::Misplaced>(&parts)) {
        fmt::format_to(out, "\nParts are not found by place = \"{}\": {}\n", word, misplaced->text);
        return;
    }
    const auto& found = std::get<region::Found>(parts);
    fmt::format_to(out, "\nParts as place = \"{}\" finds them\n  [sheet]\n  place = [\n", word);
    int kinds = 1;
    for (const plan::PartPlace& place : found.places) {
        fmt::format_to(out, "    {{ x = {:.3f}, y = {:.3f}, turn = {:.1f}{} }},\n", place.x_mm,
                       place.y_mm, place.turn_deg,
                       place.kind > 0 ? fmt::format(", kind = {}", place.kind) : "");
        kinds = std::max(kinds, place.kind + 1);
    }
    fmt::format_to(out, "  ]\n");
    if (kinds > 1)
        fmt::format_to(out, "They are of {} shapes: with place = \"{}\" add kinds = {}\n", kinds,
                       word, kinds);
}

}  // namespace

std::string inspection(const grade::Survey& s, const grade::Survey* labelled,
                       const std::string& name) {
    std::string result;
    const Out out = std::back_inserter(result);
    fmt::format_to(out, "{}: {} lines, {} bytes\n\n", name, grouped(s.lines), grouped(s.bytes));
    fmt::format_to(
        out, "Layers   {} found from the motion, mostly {:.3f} mm high, up to z {:.3f}{}\n",
        s.layer_runs, s.layer_height_mm, s.high_z,
        s.parts_in_sequence ? "; height falls back: parts are printed one after another" : "");
    if (s.sloped)
        fmt::format_to(out, "         height changes along some strokes, as in a spiral\n");
    fmt::format_to(
        out, "Beads    {} strokes, {:.2f} m long, about {:.2f} mm wide, {:.2f} m of filament\n",
        grouped(static_cast<std::uint64_t>(s.strokes)), s.bead_length_mm * 1e-3, s.bead_width_mm,
        s.filament_mm * 1e-3);
    fmt::format_to(out, "Travel   {:.2f} m, {} retractions\n", s.travel_mm * 1e-3,
                   grouped(static_cast<std::uint64_t>(s.retractions)));
    fmt::format_to(out, "Time     {}\n", duration(s.time_s));
    for (std::size_t i = 0; i < s.tools.size(); ++i) {
        const double heat = s.temperatures_c[i];
        fmt::format_to(out, "Tool     T{} extrudes, {}\n", s.tools[i],
                       heat > 0 ? fmt::format("set to {:g} °C", heat) : "set-point not stated");
    }
    fmt::format_to(out, "Numbers  {}, {} distances, {} E{}{}; XY {} decimals, E {} decimals\n",
                   s.inch ? "inches" : "mm", s.relative ? "relative" : "absolute",
                   s.e_relative ? "relative" : "absolute", s.has_numbers ? ", line numbers" : "",
                   s.has_checksums ? " with checksums" : "", s.decimals.xy, s.decimals.e);
    fmt::format_to(out, "\nIslands of beads (skirt and brim left out), by position\n");
    fmt::format_to(out, "      x mm      y mm   width   depth\n");
    for (const region::Island& island : s.footprint->islands()) {
        fmt::format_to(out, "  {:>8.3f}  {:>8.3f}  {:>6.2f}  {:>6.2f}\n",
                       (island.min_x + island.max_x) / 2, (island.min_y + island.max_y) / 2,
                       island.max_x - island.min_x, island.max_y - island.min_y);
    }
    places(region::find_parts(*s.footprint, most_kinds), "detect", out);
    if (labelled != nullptr) {
        places(region::find_labelled(*labelled->footprint, labelled->labels, most_kinds), "labels",
               out);
    }
    return result;
}

}  // namespace durograde::report
