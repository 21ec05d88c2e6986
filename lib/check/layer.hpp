#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "check/act.hpp"
#include "check/sayings.hpp"
#include "check/targets.hpp"
#include "check/way_print.hpp"
#include "region/footprint.hpp"

namespace durograde::check {

/// One extruding move of the input.
struct Segment {
    Point to;
    double e_mm = 0.0, feed_mm_min = 0.0;
    double begin_mm = 0.0, length_mm = 0.0;  ///< along its stroke
    std::uint32_t stroke = 0;
    std::uint32_t run = 0;     ///< of the stroke's runs, the one at its start
    std::int32_t arc = -1;     ///< index into the layer's arcs, or -1
    std::int32_t covered = 0;  ///< see Coverage
    std::uint32_t line = 0;
};

/// A stretch of a stroke that is to be printed with one target.
struct Run {
    double begin_mm = 0.0, end_mm = 0.0;  ///< along the stroke
    Target target;
    bool binding = true;  ///< too long to have joined a neighbour
};

/// One unbroken extruded path of the input, with all that was set when it was printed.
struct Stroke {
    Point start;
    std::uint32_t first = 0, last = 0;          ///< segments, [first, last)
    std::uint32_t first_run = 0, last_run = 0;  ///< [first, last)
    /// Of the whole path that it is of, comments aside.
    std::uint32_t path_first_run = 0, path_last_run = 0;
    int part = region::outside;
    long layer = 0;  ///< from 0; starts anew where height falls back
    int tool = 0;
    double celsius = 0.0;  ///< set-point of its tool, 0 where none was given
    double fan_duty = 0.0;
    bool fan_named = false;
    bool goes_on = false;     ///< the stroke before it ends where it begins; comments lie between
    bool continues = false;   ///< its begin lies in the chunk before
    bool broken_off = false;  ///< its end lies in the next chunk
    int label = -1;
    std::uint64_t settings = 0;     ///< mark
    std::uint32_t selections = 0;   ///< of tools, before it
    double retracted_mm = 0.0;      ///< still, at its start
    double restarts_mm = 0.0;       ///< fed along its first segment beside that one's own filament
    Sayings said_ever, said_since;  ///< before it; since the last command that is not understood
    std::uint64_t notes = 0;        ///< of the comments and messages before it, see NoteLog
    WayPrint way;                   ///< to it, from the bead before
    bool waited = false;            ///< for its tool, since that was set
    bool notes_met = false;         ///< they stood before its begin, where it was printed
    bool machine_retracted = false;
};

/// What a program stands at beside a line that nothing may move across.
struct Standing {
    Point at;
    std::array<bool, 3> known{};
    Frame frame;
    double e_count = 0.0, feed_mm_min = 0.0, fan_duty = 0.0;
    bool fan_named = false;
    int label = -1;
    std::uint64_t settings = 0;

    static Standing of(const State& state) {
        return {state.at,        state.known,       state.frame,
                state.e_count,   state.feed_mm_min, state.fan_duty,
                state.fan_named, state.label,       state.settings.mark()};
    }
};

/// A line that nothing may move across; without text, the end of the program.
struct Pin {
    std::uint32_t segments_before = 0;  ///< of its layer
    std::string text;
    std::uint64_t line = 0;
    Standing standing;
    std::uint64_t notes = 0;  ///< of the comments and messages before it, see NoteLog
    double fed_mm = 0.0;      ///< where it lays filament in place, beyond what was retracted
    bool gives_back = false;  ///< feeds a tool that was selected since the last bead
};

/// The beads of one layer of the input, in order, with the pins between and after them. A rising
/// path without end, such as a spiral, comes in chunks.
struct Layer {
    std::vector<Segment> segments;
    std::vector<Arc> arcs;
    std::vector<Stroke> strokes;
    std::vector<Run> runs;
    std::vector<Pin> pins;
    double surplus_mm = 0.0;        ///< fed by restarts, beyond what had been retracted
    std::size_t surpluses = 0;      ///< by so many of them
    bool retracts = false;          ///< the input has retracted before this layer
    bool hits = false;              ///< some way of the input runs through what it has printed
    double dip_mm = 0.0;            ///< how far the input's ways go below the beads at both ends
    double end_dip_mm = 0.0;        ///< and below its last bead
    std::uint64_t loose_notes = 0;  ///< of comments where something is set for the first time
    /// Input lines of beads that the conditions put into another zone than their run's.
    std::vector<std::uint64_t> doubts;
    /// Fed at the program's end by tools that were selected after the last bead.
    std::vector<double> given_back_mm;
    static constexpr std::uint32_t none = 0xffffffff;
    std::uint32_t first_graded = none;  ///< the first segment that is not kept as it stands
    bool sloped = false;
    bool goes_on = false;  ///< the next chunk belongs to the same rising path

    void clear();

    [[nodiscard]] Point start_of(std::uint32_t index) const {
        const Stroke& stroke = strokes[segments[index].stroke];
        return index == stroke.first ? stroke.start : segments[index - 1].to;
    }
    [[nodiscard]] Point point_on(std::uint32_t index, double share) const;
};

}  // namespace durograde::check
