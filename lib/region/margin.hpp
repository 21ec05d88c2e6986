#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace durograde::region {

/// A point of a placed part, in the part's own coordinates, with what else a condition may ask for.
struct Spot {
    plan::Vec3 point{};      ///< mm, z up from the bed
    double height_mm = 0.0;  ///< above the bed
    double layer = 0.0;
    double part = 0.0;
};

/// The distance measured last at one spot: zones ask for the same shape one after the other.
struct Distances {
    const plan::Shape* shape = nullptr;
    double mm = 0.0;
};

inline constexpr double unbounded = std::numeric_limits<double>::infinity();

/// A condition as one signed margin: it holds where the margin is at most 0. Comparisons are
/// differences, `and` and `or` are max and min, `not` negates.
class Margin {
  public:
    /// Compiles `condition`. `shapes` must outlive the margin and hold every shape that it names.
    Margin(const grammar::Condition& condition, std::span<const plan::Shape> shapes);

    /// The margin at a spot. `distances` holds what was measured there already.
    [[nodiscard]] double at(const Spot& spot, Distances& distances) const;
    [[nodiscard]] double at(const Spot& spot) const {
        Distances distances;
        return at(spot, distances);
    }

    /// How fast the margin can change, per mm of path: coordinates and distances 1, sums add,
    /// constant factors scale, min and max take the larger. `unbounded` where no bound is known.
    [[nodiscard]] double lipschitz() const noexcept { return lipschitz_; }

  private:
    struct Code {
        grammar::Op op = grammar::Op::number;
        double number = 0.0;
        const plan::Shape* shape = nullptr;
    };
    std::vector<Code> code_;
    double lipschitz_ = unbounded;
};

}  // namespace durograde::region
