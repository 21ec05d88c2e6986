#pragma once

#include <string>
#include <variant>
#include <vector>

#include "plan/plan.hpp"
#include "region/footprint.hpp"

namespace durograde::region {

/// Why the parts of a sheet cannot be told.
struct Misplaced {
    std::string code, text, mend;
};

/// Where the parts stand, in their order. Names each part's island in `footprint`. Listed places
/// name the islands under them. Else every island is a part that is wider than three beads
/// somewhere: all of one shape, turned against the one that is printed first, whose origin is the
/// middle of the box around its first layer's centre lines.
std::variant<std::vector<plan::PartPlace>, Misplaced> place_parts(const plan::Sheet& sheet,
                                                                  Footprint& footprint);

/// The parts that are found without a list, by their islands. Does not name them.
struct Found {
    std::vector<plan::PartPlace> places;
    std::vector<int> islands;
};
std::variant<Found, Misplaced> find_parts(const Footprint& footprint);

}  // namespace durograde::region
