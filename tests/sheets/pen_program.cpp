/// @file
/// The frame of a program, and the settings around its strokes.
#include <algorithm>
#include <array>
#include <cmath>

#include "pen.hpp"

namespace durograde::sheets {
namespace {

/// Fan duty, acceleration and speed of a feature above the first layer.
struct Setting {
    int fan;  ///< 0 to 255
    int acceleration_mm_s2;
    double feed_mm_s;
};

constexpr int bed_c = 45;
constexpr int even_fan = 153;
constexpr double first_layer_mm_s = 20;
constexpr double park_x_mm = 5;
constexpr double park_y_mm = 290;
constexpr double ceiling_mm = 275;

std::string hundredths(double value) {
    const std::int64_t rounded = std::llround(value * 100);
    const std::string decimals = std::to_string(100 + rounded % 100);
    return std::to_string(rounded / 100) + '.' + decimals.substr(1);
}

Setting setting_of(Feature feature) {
    switch (feature) {
        case Feature::outer_wall:
            return {204, 1500, 25};
        case Feature::inner_wall:
            return {153, 2500, 35};
        case Feature::cavity_wall:
            return {89, 1200, 22};
        case Feature::infill:
            return {255, 4000, 45};
        case Feature::solid:
            return {230, 3000, 38};
        case Feature::purge:
        case Feature::skirt:
        case Feature::brim:
            break;
    }
    return {0, 2000, 30};
}

}  // namespace

std::string text_of(std::string_view before, std::int64_t number) {
    std::string text(before);
    text += std::to_string(number);
    return text;
}

void Pen::start_program() {
    say(Comments::some, "a sheet of pads, made up for trials");
    say(Comments::many, text_of("seed ", static_cast<std::int64_t>(style_.seed)));
    if (style_.line_numbers) lines_.command("M110");
    lines_.command(style_.inches ? "G20" : "G21");
    write_modes(false);
    if (style_.volumetric) lines_.command("M200 D" + hundredths(style_.filament_mm));
    lines_.command(text_of("M140 S", bed_c));
    for (int tool = 0; tool < style_.tools; ++tool) {
        heat(tool, tool == 0 ? style_.temperature_c : style_.standby_c, false);
    }
    lines_.command(text_of("M190 S", bed_c));
    lines_.command("G28", style_.comments == Comments::many ? "to the corner" : "");
    if (style_.tools > 1 || style_.names_tool) lines_.command("T0");
    heat(0, style_.temperature_c, true);
    if (style_.acceleration_changes) lines_.command("M201 X5000 Y5000");
    lines_.command("M107");
    lines_.command("G92 E0");
    if (style_.labels) lines_.command(text_of("M486 T", style_.parts));
    if (style_.progress) lines_.command("M73 P0");
    move_z(to_grid(5));
    jump(to_spot({5, 5}));
    if (style_.relative_moves) write_modes(true);
}

void Pen::end_program() {
    if (style_.retract == Retract::none) {
        shift_filament(-style_.retract_mm);
    } else {
        retract();
    }
    if (style_.relative_moves) write_modes(false);
    move_z(std::min(z_ + to_grid(10), to_grid(ceiling_mm)));
    jump({to_grid(park_x_mm), to_grid(park_y_mm)});
    for (int tool = 0; tool < style_.tools; ++tool) heat(tool, 0, false);
    lines_.command("M140 S0");
    lines_.command("M107");
    if (style_.overrides) {
        lines_.command("M220 S100");
        lines_.command("M221 S100");
    }
    if (style_.progress) lines_.command("M73 P100");
    say(Comments::many, "that is all");
    lines_.command("M84");
    lines_.finish();
}

/// Both tools are left restarted, so that the program is balanced whether a controller counts
/// filament for each tool or for all of them together.
void Pen::select_tool(int tool) {
    if (tool == tool_) return;
    restart();
    heat(tool_, style_.standby_c, false);
    lines_.command(text_of("T", tool));
    tool_ = tool;
    heat(tool, style_.temperature_c + 10 * tool, true);
}

void Pen::say(Comments least, std::string_view text) {
    if (style_.comments >= least) lines_.comment(text);
}

/// Distance mode, and then the mode of E, since a controller may take the first for both.
void Pen::write_modes(bool relative_moves) {
    relative_now_ = relative_moves;
    lines_.command(relative_moves ? "G91" : "G90");
    lines_.command(style_.absolute_e ? "M82" : "M83");
}

void Pen::heat(int tool, int celsius, bool wait) {
    std::string text = wait ? "M109" : "M104";
    if (style_.tools > 1 || style_.names_tool) text += text_of(" T", tool);
    lines_.command(text + text_of(" S", celsius));
}

/// The first layer goes slowly and without fan, to stick.
void Pen::settle(Feature feature) {
    const Setting setting = setting_of(feature);
    const bool first = layer_ == 0;
    print_feed_mm_s_ = first ? std::min(first_layer_mm_s, setting.feed_mm_s) : setting.feed_mm_s;
    set_fan(first ? 0 : (style_.fan_changes ? setting.fan : even_fan));
    if (style_.acceleration_changes) set_acceleration(first ? 800 : setting.acceleration_mm_s2);
}

void Pen::set_fan(int duty) {
    if (duty == fan_) return;
    fan_ = duty;
    lines_.command(duty == 0 ? "M107" : text_of("M106 S", duty));
}

/// Both ways of saying it are in use.
void Pen::set_acceleration(int mm_s2) {
    if (mm_s2 == acceleration_mm_s2_) return;
    acceleration_mm_s2_ = mm_s2;
    std::string text = text_of(style_.seed % 2 == 0 ? "M204 S" : "M204 P", mm_s2);
    if (style_.seed % 2 == 1) text += text_of(" T", 4000);
    lines_.command(text);
}

/// Commands that nothing is known about, so that nothing may be moved across them.
void Pen::maybe_pin() {
    if (style_.pins_per_mille == 0 || noise_.between(0, 999) >= style_.pins_per_mille) return;
    static constexpr std::array<std::string_view, 3> words{"M812 P3", "M813", "M817 R0.25 K2"};
    const int kind = noise_.between(0, 3);
    if (kind < 3) {
        lines_.command(words[static_cast<std::size_t>(kind)]);
    } else if (style_.line_numbers) {
        lines_.command("M814 S1");
    } else {
        lines_.verbatim("MARK_TRAY ROW=2");
    }
}

}  // namespace durograde::sheets
