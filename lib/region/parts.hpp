#pragma once

#include <string>
#include <variant>
#include <vector>

#include "plan/plan.hpp"
#include "region/footprint.hpp"
#include "region/labels.hpp"
#include "region/misplaced.hpp"

namespace durograde::region {

/// Where the parts stand, in their order. Names each part's island in `footprint`. Listed places
/// name the islands under them; labelled objects are the islands under their beads. Else every
/// island is a part that is wider than three beads somewhere. Parts that are found are of
/// `sheet.kinds` shapes at most, each turned against the one of its kind that is printed first,
/// whose origin is the middle of the box around its first layer's centre lines.
std::variant<std::vector<plan::PartPlace>, Misplaced> place_parts(const plan::Sheet& sheet,
                                                                  Footprint& footprint,
                                                                  const Labels& labels);

/// The parts that are found without a list, by their islands. Does not name them.
struct Found {
    std::vector<plan::PartPlace> places;
    std::vector<int> islands;
};
std::variant<Found, Misplaced> find_parts(const Footprint& footprint, int most_kinds = 1);
/// The same by the program's own labels.
std::variant<Found, Misplaced> find_labelled(const Footprint& footprint, const Labels& labels,
                                             int most_kinds = 1);

}  // namespace durograde::region
