#pragma once

#include "check/act.hpp"
#include "plan/plan.hpp"
#include "region/depth.hpp"
#include "region/margin.hpp"

namespace durograde::check {

/// From the bed to a part's own coordinates. It is the proof's own: a fault in the grader's turns
/// no part for both.
class PartFrame {
  public:
    /// `depth` tells how deep places lie, where it is given; it must outlive the frame.
    PartFrame(const plan::PartPlace& place, int part, const region::Depth* depth);

    /// `at` in mm on the bed; `layer` counts from 0.
    [[nodiscard]] region::Spot spot(const Point& at, long layer) const;

  private:
    struct Direction {
        double x = 0.0, y = 0.0;
    };
    double x_mm_, y_mm_;
    Direction along_x_, along_y_;  ///< of the part's own axes on the bed
    int part_, kind_;
    const region::Depth* depth_;
};

}  // namespace durograde::check
