#include "check/layer.hpp"

namespace durograde::check {

void Layer::clear() {
    segments.clear();
    arcs.clear();
    strokes.clear();
    runs.clear();
    pins.clear();
    given_back_mm.clear();
    doubts.clear();
    surplus_mm = 0.0;
    loose_notes = 0;
    surpluses = 0;
    retracts = hits = false;
    dip_mm = end_dip_mm = 0.0;
    first_graded = none;
    sloped = goes_on = false;
}

Point Layer::point_on(std::uint32_t index, double share) const {
    const Segment& segment = segments[index];
    const Point from = start_of(index);
    if (segment.arc < 0) return between(from, segment.to, share);
    return arcs[static_cast<std::size_t>(segment.arc)].at(share, from.z, segment.to.z);
}

}  // namespace durograde::check
