#pragma once

#include <algorithm>

#include "check/layer.hpp"
#include "check/part_frame.hpp"

namespace durograde::check {

/// Of a stroke's path, mm.
inline double length_of(const Layer& layer, const Stroke& stroke) {
    const Segment& last = layer.segments[stroke.last - 1];
    return last.begin_mm + last.length_mm;
}

/// A place on a stroke, found again quickly where it moves on.
class Walker {
  public:
    /// All must outlive the walker.
    Walker(const Layer& layer, const Stroke& stroke, const PartFrame& frame)
        : layer_(layer), stroke_(stroke), frame_(frame), segment_(stroke.first) {}

    /// On the bed.
    Point point(double at_mm) {
        while (segment_ + 1 < stroke_.last && end_of(segment_) < at_mm) ++segment_;
        while (segment_ > stroke_.first && layer_.segments[segment_].begin_mm > at_mm) --segment_;
        const Segment& segment = layer_.segments[segment_];
        const double share = std::clamp((at_mm - segment.begin_mm) / segment.length_mm, 0.0, 1.0);
        return layer_.point_on(segment_, share);
    }
    /// In the part's own coordinates.
    region::Spot spot(double at_mm) { return frame_.spot(point(at_mm), stroke_.layer); }
    /// The segment of the last place.
    [[nodiscard]] const Segment& segment() const { return layer_.segments[segment_]; }

  private:
    [[nodiscard]] double end_of(std::uint32_t index) const {
        return layer_.segments[index].begin_mm + layer_.segments[index].length_mm;
    }

    const Layer& layer_;
    const Stroke& stroke_;
    const PartFrame& frame_;
    std::uint32_t segment_;
};

}  // namespace durograde::check
