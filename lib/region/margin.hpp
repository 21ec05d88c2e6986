#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <string>
#include <vector>

#include "plan/plan.hpp"
#include "region/fields.hpp"

namespace durograde::region {

/// A point of a placed part, in the part's own coordinates, with what else a condition may ask for.
struct Spot {
    plan::Vec3 point{};      ///< mm, z up from the bed
    double height_mm = 0.0;  ///< above the bed
    double layer = 0.0;
    double part = 0.0;
    double kind = 0.0;      ///< of part
    double depth_mm = 0.0;  ///< below the part's surface; 0 where no condition asks for it
};

/// How well distances to meshes are to be known.
enum class Precision { rough, exact };

/// The distance measured last at one spot: zones ask for the same shape one after the other.
class Distances {
  public:
    /// At least as precise as asked for.
    double to(const Field& field, const plan::Vec3& point, Precision precision);

  private:
    const Field* field_ = nullptr;
    Precision precision_ = Precision::rough;
    double mm_ = 0.0;
};

inline constexpr double unbounded = std::numeric_limits<double>::infinity();

/// A condition as one signed margin: it holds where the margin is at most 0. Comparisons are
/// differences, `and` and `or` are max and min, `not` negates. Where the sides of a comparison are
/// equal the margin is next to nothing and yet not 0, so that of a condition and its opposite
/// exactly one holds everywhere. What compares layers and parts alone is far from changing.
class Margin {
  public:
    /// Compiles `condition`. `fields` must outlive the margin and hold every shape that it names.
    Margin(const grammar::Condition& condition, const Fields& fields);

    /// The margin at a spot. `distances` holds what was measured there already.
    [[nodiscard]] double at(const Spot& spot, Precision precision, Distances& distances) const;
    /// The exact one.
    [[nodiscard]] double at(const Spot& spot) const;

    /// How fast the margin can change, per mm of path: coordinates and distances 1, depth √2 (it is
    /// interpolated between cells), sums add
    /// (as legs of a right triangle where they are of different axes), constant factors scale, min
    /// and max take the larger. `unbounded` where no bound is known.
    [[nodiscard]] double lipschitz() const noexcept { return lipschitz_; }

    /// How far the rough margin may be from the exact one; 0 without meshes, `unbounded` where no
    /// bound is known.
    [[nodiscard]] double off() const noexcept { return off_; }

  private:
    struct Code {
        grammar::Op op = grammar::Op::number;
        double number = 0.0;
        const Field* field = nullptr;
        bool is_steady = false;  ///< compares what does not change along a layer of a part
    };
    std::vector<Code> code_;
    double lipschitz_ = unbounded, off_ = 0.0;
};

}  // namespace durograde::region
