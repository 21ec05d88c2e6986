/// @file
/// Derived sizes of a style, and the layout of its parts on the bed.
#include "style.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::sheets {
namespace {

/// From the corner of the sheet to the outline of its first part: room for purge line, skirt and
/// brim.
constexpr double margin_mm = 30.0;

/// Between centres of neighbours. Turned parts get the room of their diagonal. Rounded up to half
/// millimetres so that places are short to write down.
double pitch_mm(const Style& style, double side_mm) {
    const double turned_mm =
        std::sqrt(style.width_mm * style.width_mm + style.depth_mm * style.depth_mm);
    const double room_mm = style.turn_step_deg == 0 ? side_mm : turned_mm;
    return std::ceil((room_mm + style.gap_mm) * 2) / 2;
}

}  // namespace

Style sane(Style style) {
    if (style.spiral) {
        style.one_by_one = style.one_by_one || style.parts > 1;
        style.arcs = Arcs::none;
        style.cavity_radius_mm = 0;
    }
    if (style.inches) {
        style.volumetric = false;
        style.acceleration_changes = false;
        style.xy_decimals = std::max(style.xy_decimals, 4);
        style.e_decimals = std::max(style.e_decimals, 5);
    }
    if (style.retract == Retract::none) style.hop_mm = 0;
    if (style.arcs != Arcs::center) style.full_circles = false;
    style.tools = std::clamp(style.tools, 1, std::max(1, style.parts));
    style.columns = std::clamp(style.columns, 1, std::max(1, style.parts));
    style.corner_mm = std::min({style.corner_mm, style.width_mm / 2, style.depth_mm / 2});
    style.gap_mm = std::max(style.gap_mm, 2 * style.brim_loops * style.bead_mm + 2);
    return style;
}

std::vector<Place> places(const Style& wanted) {
    const Style style = sane(wanted);
    const double step_x_mm = pitch_mm(style, style.width_mm);
    const double step_y_mm = pitch_mm(style, style.depth_mm);
    std::vector<Place> found;
    for (int part = 0; part < style.parts; ++part) {
        const int column = part % style.columns;
        const int row = part / style.columns;
        found.push_back({style.offset_x_mm + margin_mm + step_x_mm * (column + 0.5),
                         style.offset_y_mm + margin_mm + step_y_mm * (row + 0.5),
                         std::fmod(style.turn_step_deg * part, 360.0)});
    }
    return found;
}

bool is_round(const Style& style, int part) {
    return style.round_every > 0 && part % style.round_every == style.round_every - 1;
}

double top_of_layer_mm(const Style& style, int layer) {
    return style.first_layer_mm + layer * style.layer_mm;
}

double bead_area_mm2(const Style& style, double height_mm) {
    return (style.bead_mm - height_mm) * height_mm + std::numbers::pi * height_mm * height_mm / 4;
}

double filament_area_mm2(const Style& style) {
    return std::numbers::pi * style.filament_mm * style.filament_mm / 4;
}

}  // namespace durograde::sheets
