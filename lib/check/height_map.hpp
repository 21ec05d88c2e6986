#pragma once

#include <cstddef>
#include <vector>

#include "check/act.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// How high what is printed stands by now, cell by cell of the bed: under the centre lines of
/// beads.
class HeightMap {
  public:
    /// Cells of 0.5 mm; larger ones on a bed of more than a square metre.
    HeightMap(const plan::Range& x_mm, const plan::Range& y_mm);

    /// A bead, or part of one, was printed; or a pillar, by filament fed while rising.
    void print(const Act& bead);
    /// Whether the move runs through what is printed: lower than that stands, by more than what
    /// rounding and a slope within a cell explain.
    [[nodiscard]] bool is_hit_by(const Act& move) const;
    /// Of all that is printed, mm.
    [[nodiscard]] double top_mm() const noexcept { return top_mm_; }

    static constexpr double slack_mm = 0.05;

  private:
    [[nodiscard]] bool is_on_bed(const Point& at) const;
    [[nodiscard]] std::size_t cell(double x_mm, double y_mm) const;
    void print_flat(const Act& bead);
    void print_pillar(const Point& top);
    template <typename Take>
    void walk(const Act& move, double fineness, Take take) const;

    plan::Range x_mm_, y_mm_;
    double cell_mm_ = 0.5, cells_per_mm_ = 2.0;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<float> heights_;  ///< mm; the last one is for what lies beside the bed
    double top_mm_ = -1e9;
};

}  // namespace durograde::check
