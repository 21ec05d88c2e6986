/// @file
/// What a generated sheet looks like: its parts, its beads and the dialect it is written in.
#pragma once

#include <cstdint>
#include <vector>

namespace durograde::sheets {

/// What fills a part inside its walls.
enum class Infill {
    none,
    zigzag,  ///< straight lines, one segment each
    wavy,    ///< waves of many short segments, see Style::segment_mm
};

/// How filament is drawn back before a travel.
enum class Retract {
    none,
    filament,  ///< by a move of E alone
    firmware,  ///< by G10 and G11
};

/// How rounded corners are written.
enum class Arcs {
    none,    ///< as short straight segments
    center,  ///< G2/G3 with I and J
    radius,  ///< G2/G3 with R
};

/// How talkative a sheet is.
enum class Comments {
    none,
    some,  ///< a header, and one for each layer and part
    many,  ///< for each feature too, at the ends of lines, and now and then with odd bytes
};

/// Everything that decides the bytes of a sheet. Each field is free to set on its own, except where
/// its comment says otherwise; `sane()` brings such combinations in order.
struct Style {
    /// Decides where pins, odd comments and the like fall; the geometry does not depend on it.
    std::uint64_t seed = 0;

    // --- the sheet -----------------------------------------------------------------------------
    int parts = 4;
    int columns = 2;
    double gap_mm = 10.0;      ///< free bed between neighbours; more than twice the brim
    double offset_x_mm = 0.0;  ///< moves all but the homing and the parking, exactly if it lies on
    double offset_y_mm = 0.0;  ///< the grid of the written decimals
    double turn_step_deg = 0.0;  ///< part number i is turned by i times this, counter-clockwise
    bool one_by_one = false;     ///< each part is finished before the next is begun
    int skirt_loops = 0;
    int brim_loops = 0;
    bool purge_line = false;

    // --- a part --------------------------------------------------------------------------------
    double width_mm = 18.0;  ///< along the part's own x
    double depth_mm = 14.0;  ///< along the part's own y
    double corner_mm = 3.0;  ///< at most half of the smaller side; half of both makes a round part
    int round_every = 0;     ///< every n-th part is round, its smaller side across; 0: none
    int layers = 4;
    double first_layer_mm = 0.2;
    double layer_mm = 0.2;
    double bead_mm = 0.45;  ///< width of a bead, at least the height of a layer
    int walls = 2;
    bool outer_first = false;  ///< the outermost wall before the others, else after them
    int solid_layers = 1;      ///< at the bottom and at the top, filled without gaps
    Infill infill = Infill::zigzag;
    double infill_spacing_mm = 1.2;
    double segment_mm = 0.5;      ///< of a wavy line
    double wave_mm = 0.15;        ///< a wavy line leaves the straight one by at most this
    double wavelength_mm = 4.0;   ///< of a wavy line
    double corner_step_mm = 0.8;  ///< length of the segments of a corner written without arcs
    bool spiral = false;          ///< above the first layer one wall that rises as it goes round

    // --- the room for a tongue, in the middle of each part -------------------------------------
    double cavity_radius_mm = 0.0;       ///< 0: none
    double cavity_half_length_mm = 0.0;  ///< 0: a round hole; else a slot along the part's own x
    double cavity_height_mm = 1e9;       ///< layers that end above this close it

    // --- travels and settings ------------------------------------------------------------------
    Retract retract = Retract::filament;
    double retract_mm = 1.2;
    double retract_beyond_mm = 2.0;     ///< shorter travels are made without
    double hop_mm = 0.0;                ///< 0: none; only together with a retract
    bool hop_relative = false;          ///< the hop is written between G91 and G90
    bool travel_g0 = true;              ///< travels by G0, else by G1
    bool fan_changes = false;           ///< for each feature and layer, else once
    bool acceleration_changes = false;  ///< M204 for each feature; not in inches
    bool overrides = false;             ///< M220 and M221 changed from layer to layer
    bool dwells = false;                ///< G4 before each layer
    bool labels = false;                ///< M486 around each part
    bool progress = false;              ///< M73 before each layer
    int pins_per_mille = 0;             ///< chance of a command nobody knows, before each stroke

    // --- tools ---------------------------------------------------------------------------------
    int tools = 1;              ///< the parts are shared out among T0, T1, ...
    bool names_tool = false;    ///< a single tool is selected and heated by its number
    int temperature_c = 220;    ///< of T0; each further tool is 10 degrees hotter
    int standby_c = 160;        ///< of a tool not in use, when there are several
    double filament_mm = 1.75;  ///< diameter

    // --- dialect -------------------------------------------------------------------------------
    bool absolute_e = false;
    bool e_resets = true;         ///< G92 E0 before each layer, when E is absolute
    bool volumetric = false;      ///< E in cubic millimetres, after M200 D; not in inches
    bool inches = false;          ///< G20; wants one or two decimals more
    bool relative_moves = false;  ///< G91 from the first stroke to the last
    Arcs arcs = Arcs::none;       ///< not in a spiral
    bool full_circles = false;    ///< a round wall is one arc that ends where it starts (I and J)
    Comments comments = Comments::some;
    bool crlf = false;
    bool line_numbers = false;  ///< each line as N..., with the XOR of its bytes after a star
    bool lower_case = false;
    bool no_blanks = false;   ///< G1X1Y2 in place of G1 X1 Y2
    bool modal = false;       ///< the G word of a move is left out where the last still holds
    bool skip_same = false;   ///< X or Y is left out where it does not change
    bool feed_alone = false;  ///< F on a line of its own before a stroke
    bool trim_zeros = false;  ///< 1.5 in place of 1.500
    bool bare_point = false;  ///< .5 in place of 0.5
    bool end_newline = true;  ///< the last line is ended
    int xy_decimals = 3;      ///< of X, Y, Z, I, J and R
    int e_decimals = 5;
};

/// Where a part stands: its centre, and its turn counter-clockwise.
struct Place {
    double x_mm = 0;
    double y_mm = 0;
    double turn_deg = 0;
};

/// A random mix of everything above, of a few kB to about 150 kB, always a valid program.
Style style_from_seed(std::uint64_t seed);

/// The same style with combinations that make no valid program brought in order.
Style sane(Style style);

/// The centre of every part, in the order in which the parts are first printed. The offset of the
/// sheet is included.
std::vector<Place> places(const Style& style);

/// True if part number `part` is round by Style::round_every.
bool is_round(const Style& style, int part);

/// Height of the top of a layer above the bed; layers are counted from 0.
double top_of_layer_mm(const Style& style, int layer);

/// Area of the cross-section of a bead: a rectangle with half-round ends.
double bead_area_mm2(const Style& style, double height_mm);

/// Area of the cross-section of the filament.
double filament_area_mm2(const Style& style);

}  // namespace durograde::sheets
