#pragma once

#include <cstdint>

#include "check/layer.hpp"
#include "check/part_frame.hpp"
#include "check/targets.hpp"
#include "check/truth.hpp"

namespace durograde::check {

class Walker;

/// Asks the conditions themselves, point by point, whether a stroke was cut into the runs that they
/// call for: at both ends and in the middle of each run, and at a third of each that is long. Near
/// a boundary either side is right. Where conditions look at meshes, whose every triangle is looked
/// at, fewer and fewer places are asked as the print grows.
class ZoneWitness {
  public:
    /// All must outlive the witness. `slack_mm`: how far a boundary may be from where it belongs.
    ZoneWitness(const plan::Plan& plan, const Targets& targets, double slack_mm);

    /// Adds to the layer's doubts what it finds on the stroke, whose part stands as `frame` says.
    void see(Layer& layer, const Stroke& stroke, const PartFrame& frame);

  private:
    [[nodiscard]] bool is_asked();
    [[nodiscard]] bool agrees(const Stroke& stroke, const Target& target, const PartFrame& frame,
                              const Point& at);
    void ask(Layer& layer, const Stroke& stroke, const Run& run, const PartFrame& frame,
             Walker& walker, double at_mm);

    Truth truth_;
    const Targets& targets_;
    double reach_mm_;  ///< within which a boundary makes both sides right
    std::uint64_t places_ = 0, every_ = 1, looks_ = 0;
};

}  // namespace durograde::check
