#pragma once

#include <memory>
#include <string>
#include <vector>

#include "grade/ending.hpp"
#include "grade/progress.hpp"
#include "grade/tool_words.hpp"
#include "plan/plan.hpp"
#include "program/assembler.hpp"
#include "program/writer.hpp"
#include "region/bead_log.hpp"
#include "region/depth.hpp"
#include "region/footprint.hpp"
#include "region/labels.hpp"

namespace durograde::grade {

/// What a first pass over the whole program tells: what grading must know before it writes a line,
/// and what `inspect` shows.
struct Survey {
    std::uint64_t bytes = 0, lines = 0;
    long layer_runs = 0;  ///< layers as they come from the parts' first on; parts one after another
    ///< count theirs anew
    /// Offsets past the beads with which layers on the bed begin, see `program::Bounds`.
    std::vector<std::uint64_t> first_layers;
    long strokes = 0;
    bool parts_in_sequence = false;  ///< parts begin where height has fallen back
    bool sloped = false;             ///< height changes along some stroke of a part: a spiral
    double bead_length_mm = 0.0, filament_mm = 0.0;
    double layer_height_mm = 0.0;  ///< the commonest step between layers
    double bead_width_mm = 0.45;   ///< mean, from filament and height
    double time_s = 0.0;
    double travel_mm = 0.0;
    double travel_feed_mm_min = 0.0;  ///< the usual one along the bed; 0: none
    /// By how much the program's own ways clear a finished part, at least, where it goes on to
    /// print another from the bed up; mm.
    double clearance_mm = 1.0;
    long retractions = 0;
    double low_x = 1e30, low_y = 1e30, high_x = -1e30, high_y = -1e30,
           high_z = 0.0;                                                      ///< of beads, mm
    program::Point way_low{1e30, 1e30, 1e30}, way_high{-1e30, -1e30, -1e30};  ///< of all moves
    /// One that extrudes, with the set-points at which it does; 0 where none was set.
    struct Tool {
        int number = 0;
        std::vector<double> set_points_c;
    };
    std::vector<Tool> tools;  ///< in order of first use
    bool has_numbers = false, has_checksums = false;
    std::int64_t first_number = 0;
    bool has_byte_order_mark = false;
    bool inch = false;
    bool relative = false, e_relative = false;
    program::Decimals decimals, written;  ///< for new numbers; as the file has them
    std::string line_end = "\n";
    Ending ending;
    std::vector<ToolWord> tool_words;
    ProgressStyle progress;
    std::unique_ptr<region::Footprint> footprint;
    std::unique_ptr<region::BeadLog> beads;  ///< where they were to be kept
    region::Labels labels;                   ///< of objects, by the program itself
    std::vector<plan::PartPlace> places;     ///< of the plan's parts, once they are told
    std::unique_ptr<region::Depth> depth;    ///< where the plan asks for it, likewise
    std::uint64_t last_bead_end = 0;         ///< offset just past the last bead's line

    /// A stroke near the program's begin: where it is, and where what must stand before it ends.
    struct Early {
        double x_mm = 0.0, y_mm = 0.0;
        int label = -1;
        std::uint64_t approach_begin = 0;
    };
    std::vector<Early> early;  ///< the first strokes, at most `early_limit`
    static constexpr std::size_t early_limit = 100'000;
};

/// Reads all of `source`. The footprint is of the beads that parts of `sheet` may be made of, all
/// of them without one; they are kept too where `keeps_beads`. Throws Failure (Exit::bad_input) for
/// what cannot be graded: an empty file, a binary one, a program that was graded already, a bad
/// line.
Survey survey(LineSource& source, const program::Dialect& dialect, const plan::Machine& machine,
              const plan::Sheet& sheet = {}, bool keeps_beads = false);

}  // namespace durograde::grade
