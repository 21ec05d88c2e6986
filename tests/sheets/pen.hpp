/// @file
/// A pen that draws beads: it knows where the nozzle stands, what has been retracted and which
/// settings hold, and writes the lines that change them.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "line_writer.hpp"
#include "outline.hpp"
#include "random.hpp"
#include "style.hpp"

namespace durograde::sheets {

/// What a bead is for.
enum class Feature { purge, skirt, brim, outer_wall, inner_wall, cavity_wall, infill, solid };

/// How one stroke is drawn.
struct Stroke {
    Feature feature = Feature::outer_wall;
    Place place;         ///< the path is in this part's own coordinates
    double rise_mm = 0;  ///< the height gained along it, evenly
};

/// Draws strokes. Heights, lengths and places are in mm whatever the dialect.
class Pen {
  public:
    Pen(const Style& style, Sink sink);

    /// The lines themselves, for what is neither a move nor a setting.
    LineWriter& lines() { return lines_; }

    /// Units, modes, heating, homing. The nozzle ends up above the bed, T0 in use.
    void start_program();

    /// Retract, lift, park, all heaters off.
    void end_program();

    /// Height and cross-section of the beads of layer number `layer`. The nozzle rises or falls to
    /// it at once.
    void begin_layer(int layer);

    /// The settings and beads of the layers above the first, without leaving its height.
    void begin_spiral();

    /// High enough to pass over finished parts, and over to `place`.
    void pass_over(Point to, double clear_mm);

    /// Takes another tool into use, and heats it.
    void select_tool(int tool);

    /// Travels to the start of a path and draws it.
    void draw(const Path& path, const Stroke& stroke);

    /// A comment on a line of its own, if the sheet is at least as talkative as `least`.
    void say(Comments least, std::string_view text);

  private:
    using Grid = std::int64_t;  ///< a length in units of the last written decimal

    struct Spot {
        Grid x = 0;
        Grid y = 0;
    };

    Spot to_spot(Point at) const;
    Spot to_spot(Point at, const Place& place) const;
    Grid to_grid(double length_mm) const;
    void set_bead(double height_mm);
    double to_mm(Grid from, Grid to) const;

    void settle(Feature feature);
    void set_fan(int duty);
    void set_acceleration(int mm_s2);
    void maybe_pin();
    void travel(Spot to);
    void jump(Spot to);
    void retract();
    void restart();
    void hop(Grid by);
    void move_z(Grid to);
    void shift_filament(double by_mm);
    void extrude_to(const Knot& knot, const Place& place);
    void add_axes(Spot to, bool both);
    void add_axis(char letter, Grid from, Grid to);
    double add_arc(Spot from, const Knot& knot, const Place& place);
    void add_e(double filament_mm);
    void add_feed(double mm_s);
    void write_modes(bool relative_moves);
    void heat(int tool, int celsius, bool wait);
    std::string_view end_comment();

    const Style& style_;
    LineWriter lines_;
    Random noise_;

    double grid_per_mm_ = 1;  ///< of X, Y and Z
    double e_grid_per_mm_ = 1;
    Point turn_{1, 0};  ///< cosine and sine of the turn of the part in work

    Spot at_;
    Grid z_ = 0;
    double layer_top_mm_ = 0;
    double filament_per_mm_ = 0;  ///< of the layer in work, without unit
    double e_exact_ = 0;          ///< E since the last reset, before rounding, in grid units
    Grid e_written_ = 0;          ///< E since the last reset, as written
    Grid feed_ = -1;
    double print_feed_mm_s_ = 30;

    int layer_ = 0;
    int tool_ = 0;
    int fan_ = 0;
    int acceleration_mm_s2_ = -1;
    bool relative_now_ = false;
    bool retracted_ = false;
    bool has_drawn_ = false;
};

/// A number of degrees, a count and the like, as text.
std::string text_of(std::string_view before, std::int64_t number);

}  // namespace durograde::sheets
