/// @file
#include "part_layer.hpp"

#include <algorithm>
#include <string>

#include "infill.hpp"

namespace durograde::sheets {
namespace {

/// How far infill reaches into the innermost wall, in bead widths.
constexpr double overlap_beads = 0.15;

/// A cavity has few walls of its own, so that its neighbourhood keeps some infill.
int cavity_walls(const Style& style) {
    return std::min(style.walls, 2);
}

/// Nothing (a box that does not exist) where the part has no cavity, or none that high up.
RoundedBox cavity(const Style& style, int layer) {
    const bool open = top_of_layer_mm(style, layer) <= style.cavity_height_mm;
    if (style.cavity_radius_mm <= 0 || !open) return {};
    return {style.cavity_radius_mm + style.cavity_half_length_mm, style.cavity_radius_mm,
            style.cavity_radius_mm};
}

LoopForm loop_form(const Style& style, int layer) {
    LoopForm form;
    form.seam = layer % 4;
    form.arcs = style.arcs;
    form.full_circle = style.full_circles;
    form.step_mm = style.corner_step_mm;
    return form;
}

void announce(Pen& pen, const Style& style, int part, std::string_view what) {
    if (style.comments != Comments::many) return;
    std::string text = text_of("pad ", part + 1);
    text += ", ";
    text += what;
    pen.say(Comments::many, text);
}

void draw_walls(Pen& pen, const Style& style, int part, const Place& place, int layer) {
    const RoundedBox outline = part_outline(style, part);
    Path path;
    for (int turn = 0; turn < style.walls; ++turn) {
        const int wall = style.outer_first ? turn : style.walls - 1 - turn;
        const RoundedBox box = outline.grown(-(wall + 0.5) * style.bead_mm);
        if (!box.exists()) continue;
        announce(pen, style, part, wall == 0 ? "outer wall" : "inner wall");
        trace_loop(box, loop_form(style, layer), path);
        pen.draw(path, {wall == 0 ? Feature::outer_wall : Feature::inner_wall, place, 0});
    }
}

void draw_cavity_walls(Pen& pen, const Style& style, int part, const Place& place, int layer) {
    const RoundedBox hole = cavity(style, layer);
    if (!hole.exists()) return;
    LoopForm form = loop_form(style, layer);
    form.clockwise = true;
    Path path;
    for (int wall = 0; wall < cavity_walls(style); ++wall) {
        announce(pen, style, part, "around the tongue");
        trace_loop(hole.grown((wall + 0.5) * style.bead_mm), form, path);
        pen.draw(path, {Feature::cavity_wall, place, 0});
    }
}

InfillForm infill_form(const Style& style, int part, int layer, bool solid) {
    InfillForm form;
    form.wavy = !solid && style.infill == Infill::wavy;
    const double away_mm = form.wavy ? style.wave_mm : 0.0;
    const double walls_mm = (style.walls + 0.5 - overlap_beads) * style.bead_mm + away_mm;
    form.region = part_outline(style, part).grown(-walls_mm);
    const RoundedBox hole = cavity(style, layer);
    if (hole.exists()) {
        const double beads = cavity_walls(style) + 0.5 - overlap_beads;
        form.hole = hole.grown(beads * style.bead_mm + away_mm);
    }
    form.angle_deg = layer % 2 == 0 ? 45 : 135;
    form.spacing_mm = solid ? style.bead_mm : style.infill_spacing_mm;
    form.segment_mm = style.segment_mm;
    form.wave_mm = style.wave_mm;
    form.wavelength_mm = style.wavelength_mm;
    return form;
}

void draw_infill(Pen& pen, const Style& style, int part, const Place& place, int layer) {
    const bool solid = layer < style.solid_layers || layer >= style.layers - style.solid_layers;
    if (!solid && style.infill == Infill::none) return;
    announce(pen, style, part, solid ? "close fill" : "fill");
    const Stroke stroke{solid ? Feature::solid : Feature::infill, place, 0};
    trace_infill(infill_form(style, part, layer, solid),
                 [&](const Path& path) { pen.draw(path, stroke); });
}

}  // namespace

RoundedBox part_outline(const Style& style, int part) {
    if (is_round(style, part)) {
        const double radius_mm = std::min(style.width_mm, style.depth_mm) / 2;
        return {radius_mm, radius_mm, radius_mm};
    }
    return {style.width_mm / 2, style.depth_mm / 2, style.corner_mm};
}

void draw_brim(Pen& pen, const Style& style, int part, const Place& place) {
    Path path;
    for (int loop = style.brim_loops - 1; loop >= 0; --loop) {
        announce(pen, style, part, "brim");
        const RoundedBox box = part_outline(style, part).grown((loop + 0.5) * style.bead_mm);
        trace_loop(box, loop_form(style, 0), path);
        pen.draw(path, {Feature::brim, place, 0});
    }
}

void draw_part_layer(Pen& pen, const Style& style, int part, const Place& place, int layer) {
    draw_walls(pen, style, part, place, layer);
    draw_cavity_walls(pen, style, part, place, layer);
    draw_infill(pen, style, part, place, layer);
}

void draw_spiral(Pen& pen, const Style& style, int part, const Place& place) {
    Path loop;
    trace_loop(part_outline(style, part).grown(-0.5 * style.bead_mm), loop_form(style, 0), loop);
    Path path = loop;
    for (int layer = 2; layer < style.layers; ++layer) {
        path.insert(path.end(), loop.begin() + 1, loop.end());
    }
    const double rise_mm = style.layer_mm * (style.layers - 1);
    announce(pen, style, part, "rising wall");
    pen.begin_spiral();
    pen.draw(path, {Feature::outer_wall, place, rise_mm});
}

}  // namespace durograde::sheets
