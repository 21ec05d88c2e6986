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
    [[nodiscard]] std::optional<int> zone_at(const region::Spot& spot);

    /// How many triangles of meshes all conditions look at together.
    [[nodiscard]] std::size_t triangles() const noexcept { return triangles_; }

  private:
    /// A step, with the shape that it names.
    struct Word {
        const grammar::Step* step = nullptr;
        const plan::Shape* shape = nullptr;
    };
    using Sentence = std::vector<Word>;
    [[nodiscard]] std::optional<bool> holds(const Sentence& where, const region::Spot& spot);

    std::vector<Sentence> zones_;
    std::size_t triangles_ = 0;
    std::vector<double> stack_;
};

}  // namespace durograde::check
