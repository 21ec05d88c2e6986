/// @file
#include "presets.hpp"

#include <algorithm>
#include <cmath>

#include "sheet.hpp"

namespace durograde::sheets {
namespace {

constexpr double bench_layer_mm = 0.2;
constexpr double bench_tallest_mm = 340;
constexpr int bench_lines_per_layer = 57000;

/// Lines of one layer and bytes of a whole sheet, counted without keeping them.
struct Size {
    double bytes = 0;
    double lines = 0;
};

Size size_of(Style style, int layers) {
    style.layers = layers;
    Size size;
    write_sheet(style, [&size](std::string_view chunk) {
        size.bytes += static_cast<double>(chunk.size());
        size.lines += static_cast<double>(std::count(chunk.begin(), chunk.end(), '\n'));
    });
    return size;
}

Style bench_shape(int parts) {
    Style style;
    style.parts = std::clamp(parts, 1, bench_most_parts);
    style.columns = static_cast<int>(std::ceil(std::sqrt(style.parts * 1.5)));
    style.columns = std::min(style.columns, 8);
    style.gap_mm = 10;
    style.skirt_loops = 1;
    style.purge_line = true;
    style.width_mm = style.depth_mm = 24;
    style.corner_mm = 5;
    style.first_layer_mm = style.layer_mm = bench_layer_mm;
    style.walls = 3;
    style.solid_layers = 0;
    style.infill = Infill::wavy;
    style.infill_spacing_mm = 0.6;
    style.wave_mm = 0.12;
    style.cavity_radius_mm = bench_tongue_radius_mm + 0.15;
    style.fan_changes = true;
    return style;
}

}  // namespace

Style demo_style() {
    Style style;
    style.parts = 12;
    style.columns = 4;
    style.gap_mm = 12;
    style.offset_x_mm = 100;
    style.offset_y_mm = 120;
    style.skirt_loops = 1;
    style.first_layer_mm = 0.2;
    style.layer_mm = 0.3;
    style.layers = 17;  // 5.0 mm in all
    style.corner_step_mm = 1.5;
    style.cavity_radius_mm = 1.35;
    style.cavity_half_length_mm = 5;
    style.cavity_height_mm = 1.75;
    style.infill_spacing_mm = 1.4;
    style.fan_changes = true;
    style.comments = Comments::some;
    style.trim_zeros = true;
    return style;
}

Style bench_style(double bytes, int parts) {
    Style style = bench_shape(parts);
    // Lines of a layer are nearly inverse to the length of a segment: begin coarse, and correct.
    style.segment_mm = 1.0;
    for (int pass = 0; pass < 3; ++pass) {
        const double lines = size_of(style, 4).lines / 4;
        style.segment_mm = std::max(0.1, style.segment_mm * lines / bench_lines_per_layer);
    }
    // Layers differ in pairs by the direction of the infill, and the first is drawn more slowly.
    const double four_bytes = size_of(style, 4).bytes;
    const double layer_bytes = (size_of(style, 8).bytes - four_bytes) / 4;
    const double layers = std::ceil((bytes - four_bytes) / layer_bytes) + 4;
    style.layers = static_cast<int>(std::max(1.0, layers));
    style.layer_mm = std::min(bench_layer_mm, bench_tallest_mm / style.layers);
    return style;
}

}  // namespace durograde::sheets
