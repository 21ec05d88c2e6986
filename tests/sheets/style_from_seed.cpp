/// @file
/// Random styles. Every draw stands in a statement of its own, since the order in which the parts
/// of one expression are evaluated is the compiler's to choose.
#include <algorithm>

#include "random.hpp"
#include "style.hpp"

namespace durograde::sheets {
namespace {

void choose_parts(Style& style, Random& random) {
    style.parts = random.between(1, 6);
    style.columns = random.between(1, 3);
    style.gap_mm = random.stepped(8, 30, 0.5);
    style.offset_x_mm = random.stepped(0, 60, 1.0);
    style.offset_y_mm = random.stepped(0, 60, 1.0);
    style.width_mm = random.stepped(18, 44, 0.5);
    style.depth_mm = random.stepped(16, 36, 0.5);
    style.corner_mm = random.stepped(0, 8, 0.5);
    if (random.chance(20)) {
        style.width_mm = style.depth_mm;
        style.corner_mm = style.depth_mm / 2;
    } else if (random.chance(20)) {
        style.round_every = random.between(1, 3);
    } else if (random.chance(35)) {
        style.turn_step_deg = random.chance(50) ? 90.0 : random.stepped(1, 71, 2.5);
    }
    style.one_by_one = random.chance(15);
    style.skirt_loops = random.chance(50) ? random.between(1, 3) : 0;
    style.brim_loops = random.chance(25) ? random.between(1, 4) : 0;
    style.purge_line = random.chance(50);
}

void choose_beads(Style& style, Random& random) {
    style.layers = random.between(2, 6);
    style.layer_mm = random.stepped(2, 6, 0.05);
    style.first_layer_mm = random.chance(50) ? style.layer_mm : random.stepped(4, 6, 0.05);
    style.bead_mm = random.stepped(8, 14, 0.05);
    style.walls = random.between(1, 3);
    style.outer_first = random.chance(40);
    style.solid_layers = random.between(0, 1);
    const int kind = random.between(0, 9);
    style.infill = kind == 0 ? Infill::none : (kind < 6 ? Infill::zigzag : Infill::wavy);
    style.infill_spacing_mm = random.stepped(8, 20, 0.1);
    style.segment_mm = random.stepped(8, 20, 0.1);
    style.wave_mm = random.stepped(1, 4, 0.05);
    style.wavelength_mm = random.stepped(30, 60, 0.1);
    style.corner_step_mm = random.stepped(5, 15, 0.1);
    // Many short segments on many big layers would make the sheet too long.
    const double area_mm2 = style.parts * style.layers * style.width_mm * style.depth_mm;
    const double bends = area_mm2 / (style.infill_spacing_mm * style.segment_mm);
    style.segment_mm *= std::max(1.0, bends / 3000.0);
    style.spiral = random.chance(10);
    if (style.spiral && random.chance(70)) style.parts = 1;
}

/// A tongue's room wherever the smaller side leaves space for walls of its own and some infill.
void choose_cavity(Style& style, Random& random) {
    if (!random.chance(55)) return;
    const double wanted_mm = random.stepped(10, 30, 0.1);
    const double slot_mm = random.chance(50) ? random.stepped(5, 30, 0.1) : 0.0;
    const int open_layers = random.between(1, style.layers);
    const double wall_mm = style.walls * style.bead_mm;
    const double half_mm = std::min(style.width_mm, style.depth_mm) / 2;
    const double free_mm = half_mm - 2 * wall_mm - 1.5;
    if (free_mm < 1.0) return;
    style.cavity_radius_mm = std::min(wanted_mm, free_mm);
    style.cavity_half_length_mm = std::min(slot_mm, free_mm - style.cavity_radius_mm);
    style.cavity_height_mm = top_of_layer_mm(style, open_layers - 1) + 0.001;
}

void choose_travels(Style& style, Random& random) {
    const int kind = random.between(0, 9);
    style.retract = kind < 2 ? Retract::none : (kind < 8 ? Retract::filament : Retract::firmware);
    style.retract_mm = random.stepped(4, 30, 0.1);
    style.retract_beyond_mm = random.stepped(0, 6, 0.5);
    style.hop_mm = random.chance(40) ? random.stepped(2, 8, 0.1) : 0.0;
    style.hop_relative = random.chance(50);
    style.travel_g0 = random.chance(60);
    style.fan_changes = random.chance(50);
    style.acceleration_changes = random.chance(40);
    style.overrides = random.chance(15);
    style.dwells = random.chance(15);
    style.labels = random.chance(25);
    style.progress = random.chance(35);
    style.pins_per_mille = random.chance(25) ? random.between(5, 100) : 0;
    style.tools = random.chance(20) ? random.between(2, 4) : 1;
    style.names_tool = random.chance(40);
    style.temperature_c = random.between(19, 25) * 10;
    style.standby_c = random.between(12, 17) * 10;
}

void choose_dialect(Style& style, Random& random) {
    style.absolute_e = random.chance(45);
    style.e_resets = random.chance(75);
    style.volumetric = random.chance(12);
    style.inches = random.chance(12);
    style.relative_moves = random.chance(12);
    const int kind = random.between(0, 9);
    style.arcs = kind < 6 ? Arcs::none : (kind < 8 ? Arcs::center : Arcs::radius);
    style.full_circles = random.chance(50);
    const int talk = random.between(0, 9);
    style.comments = talk < 2 ? Comments::none : (talk < 7 ? Comments::some : Comments::many);
    style.crlf = random.chance(15);
    style.line_numbers = random.chance(15);
    style.lower_case = random.chance(10);
    style.no_blanks = random.chance(12);
    style.modal = random.chance(15);
    style.skip_same = random.chance(30);
    style.feed_alone = random.chance(30);
    style.trim_zeros = random.chance(35);
    style.bare_point = random.chance(15);
    style.end_newline = !random.chance(15);
    // Two decimals put the ends of an arc too far from its circle to be called one.
    style.xy_decimals = style.arcs == Arcs::none && random.chance(20) ? 2 : 3;
    if (style.inches) style.xy_decimals = random.between(4, 5);
    style.e_decimals = style.inches ? random.between(5, 6) : random.between(4, 5);
}

}  // namespace

Style style_from_seed(std::uint64_t seed) {
    Style style;
    style.seed = seed;
    Random random(seed);
    choose_parts(style, random);
    choose_beads(style, random);
    choose_cavity(style, random);
    choose_travels(style, random);
    choose_dialect(style, random);
    return sane(style);
}

}  // namespace durograde::sheets
