#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "check/layer.hpp"
#include "plan/plan.hpp"

namespace durograde::check {

/// How much open air a way crosses above the beads of one layer, never more than there is: where
/// the grid leaves a doubt, a place counts as covered.
class OpenAir {
  public:
    /// Memory for the whole bed is taken once. `footprint` tells parts apart and must outlive this.
    OpenAir(const plan::Machine& machine, const region::Footprint& footprint, double bead_mm);

    /// Paints the beads of `layer` anew.
    void paint(const Layer& layer);

    /// The longest single stretch of the way along `points` that lies over no bead, in mm. Inside
    /// one part, gaps narrower than three beads are no open air.
    double longest_mm(std::span<const Point> points);

  private:
    void paint_line(const Point& from, const Point& to);
    [[nodiscard]] std::size_t cell(double x, double y) const;
    [[nodiscard]] bool is_covered(double x, double y, double reach_mm) const;
    void sample(std::span<const Point> points);
    double inside_one_part_mm(std::size_t first, std::size_t last);

    const region::Footprint& footprint_;
    plan::Range x_mm_, y_mm_;
    double bead_mm_, cell_mm_;
    std::size_t columns_ = 0, rows_ = 0;
    std::vector<std::uint8_t> cells_;  ///< painted where equal to the stamp
    std::uint8_t stamp_ = 0;
    std::vector<Point> samples_;  ///< along a way, `step_mm_` apart
    double step_mm_ = 0.0;
};

}  // namespace durograde::check
