#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "program/span.hpp"
#include "region/zones.hpp"

namespace durograde::region {

/// A place on a stroke: within a segment, at a fraction of its length.
struct Cut {
    std::uint32_t segment = 0;  ///< index into the span's segments
    double fraction = 0.0;      ///< 0 is the segment's start
    program::Point point;
};

/// The part of a stroke that lies in one zone, in the order of printing.
struct Run {
    int zone = no_zone;  ///< or what the caller maps zones to
    Cut begin, end;      ///< `end` of the last run is the stroke's end
    double length_mm = 0.0;
};

/// The start of segment `index` of `stroke`.
program::Point segment_start(const program::Span& span, const program::Stroke& stroke,
                             std::uint32_t index);
program::Point segment_end(const program::Span& span, std::uint32_t index);
double segment_length(const program::Span& span, const program::Stroke& stroke,
                      std::uint32_t index);
program::Point segment_point(const program::Span& span, const program::Stroke& stroke,
                             std::uint32_t index, double fraction);

/// Cuts a stroke at the boundaries of zones. Marching by the free distance of the field misses no
/// crossing thicker than the tolerance where the conditions have a known bound (Hart, Sphere
/// tracing, The Visual Computer 12(10), 1996); each crossing is then bisected to well below the
/// tolerance. `runs` is filled anew; it is never left empty.
void split_at_zones(const program::Span& span, const program::Stroke& stroke,
                    const ZoneField& field, const Placement& placement, std::vector<Run>& runs);

/// Joins runs of `same` kind that follow each other, then lets each run shorter than `shortest_mm`
/// join its longer neighbour. Both ends of a closed stroke are neighbours.
void join_short_runs(std::vector<Run>& runs, double shortest_mm, bool closed);

}  // namespace durograde::region
