#pragma once

#include <string>
#include <variant>
#include <vector>

#include "plan/plan.hpp"
#include "region/footprint.hpp"
#include "region/labels.hpp"
#include "region/misplaced.hpp"

namespace durograde::region {

/// The parts of a sheet, in their order.
struct Found {
    std::vector<plan::PartPlace> places;
    std::vector<int> islands;  ///< of each
    /// Of each the other places at which it would lie on the same outline: that it is turned as
    /// its place says is a guess. None where places are listed.
    std::vector<std::vector<plan::PartPlace>> as_well;
};

/// Where the parts stand. Names each part's island in `footprint`. Listed places name the islands
/// under them; labelled objects are the islands under their beads. Else every island is a part
/// that is wider than three beads somewhere. Parts that are found are of `sheet.kinds` shapes at
/// most, each turned against the one of its kind that is printed first, whose origin is the middle
/// of the box around its first layer's centre lines.
std::variant<Found, Misplaced> place_parts(const plan::Sheet& sheet, Footprint& footprint,
                                           const Labels& labels);

/// The parts that are found without a list. Does not name them.
std::variant<Found, Misplaced> find_parts(const Footprint& footprint, int most_kinds = 1);
/// The same by the program's own labels.
std::variant<Found, Misplaced> find_labelled(const Footprint& footprint, const Labels& labels,
                                             int most_kinds = 1);

/// How the islands come that are wide enough for parts.
struct Sequence {
    long layers_before = 0;   ///< that have nothing of them, as of a purge line
    bool one_by_one = false;  ///< some are begun after height fell back from others
};
Sequence sequence_of(const Footprint& footprint);
/// Some of the points is on an island that is wide enough for a part.
bool any_on_part(const Footprint& footprint, const std::vector<FlatPoint>& points);

}  // namespace durograde::region
