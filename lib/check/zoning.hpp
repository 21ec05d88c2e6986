#pragma once

#include <span>
#include <vector>

#include "check/layer.hpp"
#include "check/part_frame.hpp"
#include "check/targets.hpp"
#include "check/zone_witness.hpp"
#include "region/zones.hpp"

namespace durograde::check {

/// Says for every stretch of a layer's strokes what it is to be printed with.
class Zoning {
  public:
    /// All must outlive the zoning. `depth` is there where the plan asks for it.
    Zoning(const plan::Plan& plan, std::span<const plan::PartPlace> places,
           const region::Footprint& footprint, region::Depth* depth);

    /// Fills parts and runs, and what the conditions themselves say against them.
    void apply(Layer& layer);

    /// How far a boundary may be from where the conditions put it, along the path.
    [[nodiscard]] double slack_mm() const noexcept { return slack_mm_; }

  private:
    void find_part(const Layer& layer, Stroke& stroke);
    void find_runs(Layer& layer, Stroke& stroke);
    void march(Layer& layer, const Stroke& stroke, const PartFrame& frame);
    void begin_run(Layer& layer, const Stroke& stroke, double at_mm, int zone);
    void bind_runs(Layer& layer, std::span<Stroke> path) const;

    const plan::Plan& plan_;
    const region::Footprint& footprint_;
    region::Depth* depth_;
    Targets targets_;
    region::ZoneField field_;
    std::vector<PartFrame> frames_;
    double slack_mm_;
    ZoneWitness witness_;
    int last_part_ = region::outside;  ///< of the stroke before, for one that continues it
};

}  // namespace durograde::check
