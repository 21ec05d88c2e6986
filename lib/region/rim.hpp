#pragma once

#include <optional>
#include <span>
#include <vector>

#include "region/line_index.hpp"

namespace durograde::region {

/// The exact outline of a part: the corners of the outermost loop of its first layer, as they
/// stand in the program.
class Rim {
  public:
    Rim() = default;
    /// `corners` are those of a closed loop.
    explicit Rim(std::span<const FlatPoint> corners);
    Rim(Rim&&) = default;
    Rim& operator=(Rim&&) = default;

    [[nodiscard]] bool exists() const noexcept { return !corners_.empty(); }

    /// The farthest that a corner of either rim lies from the other, mm, when this one is turned
    /// counter-clockwise and their middles are brought together; `beyond_mm` at most. Nothing
    /// where either does not exist.
    [[nodiscard]] std::optional<double> misfit_mm(const Rim& other, double turn_deg) const;
    static constexpr double beyond_mm = 1.0;

  private:
    [[nodiscard]] double farthest_mm(const Rim& other, double turn_deg) const;

    std::vector<FlatPoint> corners_;  ///< about the middle of the area
    std::vector<FlatPoint> sides_;    ///< ends in pairs
    std::optional<LineIndex> index_;
};

}  // namespace durograde::region
