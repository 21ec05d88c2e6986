#include "report/inspection.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string_view>
#include <utility>
#include <variant>

#include "region/parts.hpp"
#include "report/words.hpp"

namespace durograde::report {
namespace {

using Out = std::back_insert_iterator<std::string>;

constexpr int most_kinds = 8;  // a sheet with more is one of islands that touch

/// With as many decimals as it has, four at most: half of two numbers of three decimals.
std::string number(double mm) {
    std::string text = fmt::format("{:.4f}", mm);
    text.resize(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

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
        fmt::format_to(out, "    {{ x = {}, y = {}, turn = {}{} }},\n", number(place.x_mm),
                       number(place.y_mm), number(place.turn_deg),
                       place.kind > 0 ? fmt::format(", kind = {}", place.kind) : "");
        kinds = std::max(kinds, place.kind + 1);
    }
    fmt::format_to(out, "  ]\n");
    const auto guessed = std::count_if(found.as_well.begin(), found.as_well.end(),
                                       [](const auto& others) { return !others.empty(); });
    if (guessed > 0)
        fmt::format_to(out,
                       "How {} of them are turned is a guess: they lie on the same outline turned "
                       "otherwise, too\n",
                       guessed);
    if (kinds > 1)
        fmt::format_to(out, "They are of {} shapes: with place = \"{}\" add kinds = {}\n", kinds,
                       word, kinds);
}

void beads(const grade::Survey& s, Out out) {
    if (s.strokes == 0) {
        fmt::format_to(out, "Beads    none: the program prints nothing");
        if (s.way_low.x <= s.way_high.x)
            fmt::format_to(out, "; it moves within x {} to {}, y {} to {}, z {} to {}",
                           number(s.way_low.x), number(s.way_high.x), number(s.way_low.y),
                           number(s.way_high.y), number(s.way_low.z), number(s.way_high.z));
        fmt::format_to(out, "\n");
        return;
    }
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
}

void tools(const grade::Survey& s, Out out) {
    for (const grade::Survey::Tool& tool : s.tools) {
        std::string set;
        for (const double celsius : tool.set_points_c) {
            if (celsius <= 0) continue;
            set += (set.empty() ? "set to " : ", ") + fmt::format("{:g} °C", celsius);
        }
        fmt::format_to(out, "Tool     T{} extrudes, {}\n", tool.number,
                       set.empty() ? "set-point not stated" : set);
    }
}

/// The box around the centre lines of its first layer; of its cells where it has none.
void island(const region::Island& island, Out out) {
    double low_x = island.min_x, low_y = island.min_y, high_x = island.max_x, high_y = island.max_y;
    if (!island.first_layer.corners().empty()) {
        low_x = low_y = 1e30;
        high_x = high_y = -1e30;
    }
    for (const region::FlatPoint& corner : island.first_layer.corners()) {
        low_x = std::min(low_x, corner.x_mm);
        low_y = std::min(low_y, corner.y_mm);
        high_x = std::max(high_x, corner.x_mm);
        high_y = std::max(high_y, corner.y_mm);
    }
    fmt::format_to(out, "  {:>8}  {:>8}  {:>6.2f}  {:>6.2f}\n", number((low_x + high_x) / 2),
                   number((low_y + high_y) / 2), high_x - low_x, high_y - low_y);
}

}  // namespace

std::string inspection(const grade::Survey& s, const grade::Survey* labelled,
                       const std::string& name) {
    std::string result;
    const Out out = std::back_inserter(result);
    fmt::format_to(out, "{}: {} lines, {} bytes\n\n", name, grouped(s.lines), grouped(s.bytes));
    beads(s, out);
    fmt::format_to(out, "Travel   {:.2f} m, {} retractions\n", s.travel_mm * 1e-3,
                   grouped(static_cast<std::uint64_t>(s.retractions)));
    fmt::format_to(out, "Time     {}, heating up not counted\n", duration(s.time_s));
    tools(s, out);
    fmt::format_to(out, "Numbers  {}, {} distances, {} E{}{}; XY {} decimals, E {} decimals\n",
                   s.inch ? "inches" : "mm", s.relative ? "relative" : "absolute",
                   s.e_relative ? "relative" : "absolute", s.has_numbers ? ", line numbers" : "",
                   s.has_checksums ? " with checksums" : "", s.written.xy, s.written.e);
    if (s.strokes == 0) return result;
    fmt::format_to(out, "\nIslands of beads (skirt and brim left out), by their first layer\n");
    fmt::format_to(out, "      x mm      y mm   width   depth\n");
    for (const region::Island& one : s.footprint->islands()) island(one, out);
    places(region::find_parts(*s.footprint, most_kinds), "detect", out);
    if (labelled != nullptr) {
        places(region::find_labelled(*labelled->footprint, labelled->labels, most_kinds), "labels",
               out);
    }
    return harmless(std::move(result));
}

}  // namespace durograde::report
