#pragma once

#include <cstdint>
#include <unordered_set>
#include <variant>
#include <vector>

#include "region/footprint.hpp"
#include "region/misplaced.hpp"

namespace durograde::region {

/// Where the objects lie that a program labels (M486 S), so that its labels name the parts.
class Labels {
  public:
    /// The middle of a bead under this label; below 0 is none.
    void note(int label, double x_mm, double y_mm);
    [[nodiscard]] bool any() const noexcept { return !objects_.empty(); }

    /// The island of each object, in the order in which they are first printed. Labels whose beads
    /// are of no island, as of a brim, are left out. Why they cannot be told where an object lies
    /// on several islands, or shares one.
    [[nodiscard]] std::variant<std::vector<int>, Misplaced> islands(
        const Footprint& footprint) const;

  private:
    struct Object {
        int label = 0;
        std::vector<FlatPoint> points;           ///< one a square
        std::unordered_set<std::uint64_t> seen;  ///< squares
        std::uint64_t last = 0;
    };
    Object& find(int label);

    std::vector<Object> objects_;
    std::size_t present_ = 0;
};

}  // namespace durograde::region
