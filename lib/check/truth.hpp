#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "plan/plan.hpp"
#include "region/margin.hpp"

namespace durograde::check {

/// Whether zones' conditions hold at a place, as they read: numbers are compared, truth values are
/// joined. It knows no margins and no bounds, and shares nothing with what cuts beads at zones.
class Truth {
  public:
    static constexpr int no_zone = -1;

    /// `plan` must outlive it.
    explicit Truth(const plan::Plan& plan);

    /// The first zone whose condition holds at `spot`, or `no_zone`; nothing where a condition
    /// before it compares what is no number there, such as 0/0.
    [[nodiscard]] std::optional<int> zone_at(const region::Spot& spot) const;

    /// How many triangles of meshes all conditions look at together.
    [[nodiscard]] std::size_t triangles() const noexcept { return triangles_; }

  private:
    [[nodiscard]] std::optional<bool> holds(const grammar::Condition& where,
                                            const region::Spot& spot) const;
    [[nodiscard]] const plan::Shape& shape(const std::string& name) const;

    const plan::Plan& plan_;
    std::size_t triangles_ = 0;
    mutable std::vector<double> stack_;
};

}  // namespace durograde::check
