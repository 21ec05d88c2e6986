#include "check/zoning.hpp"

#include <algorithm>
#include <cmath>

#include "check/walker.hpp"

namespace durograde::check {
namespace {

constexpr double crossing_mm = 1e-5;  // width to which a crossing is bracketed

}  // namespace

Zoning::Zoning(const plan::Plan& plan, std::span<const plan::PartPlace> places,
               const region::Footprint& footprint, region::Depth* depth)
    : plan_(plan),
      footprint_(footprint),
      depth_(depth),
      targets_(plan),
      field_(plan),
      slack_mm_(field_.samples() ? std::max(plan.split.tolerance_mm, plan.split.step_mm)
                                 : plan.split.tolerance_mm),
      witness_(plan, targets_, slack_mm_) {
    for (const plan::PartPlace& place : places)
        frames_.emplace_back(place, static_cast<int>(frames_.size()), depth);
}

void Zoning::apply(Layer& layer) {
    for (Stroke& stroke : layer.strokes) {
        find_part(layer, stroke);
        find_runs(layer, stroke);
        const bool outside = stroke.part == region::outside;
        const bool graded =
            !outside || std::holds_alternative<plan::ToolNumber>(plan_.sheet.outside);
        if (graded && layer.first_graded == Layer::none) layer.first_graded = stroke.first;
    }
    for (std::size_t first = 0, last = 0; first < layer.strokes.size(); first = last) {
        const int part = layer.strokes[first].part;
        for (last = first + 1; last < layer.strokes.size() && layer.strokes[last].goes_on &&
                               layer.strokes[last].part == part && part != region::outside;)
            ++last;
        bind_runs(layer, {layer.strokes.data() + first, last - first});
    }
    for (const Stroke& stroke : layer.strokes) {
        if (stroke.part == region::outside) continue;
        if (depth_ != nullptr) depth_->seek(stroke.start.z);
        witness_.see(layer, stroke, frames_[static_cast<std::size_t>(stroke.part)]);
    }
}

/// A stroke belongs to the part below the middle of its first segment.
void Zoning::find_part(const Layer& layer, Stroke& stroke) {
    if (!stroke.continues) {
        const Point middle = layer.point_on(stroke.first, 0.5);
        last_part_ = plan_.sheet.takes(stroke.label) ? footprint_.part_at(middle.x, middle.y)
                                                     : region::outside;
    }
    stroke.part = last_part_;
}

void Zoning::find_runs(Layer& layer, Stroke& stroke) {
    stroke.first_run = static_cast<std::uint32_t>(layer.runs.size());
    if (stroke.part == region::outside) {
        const Target target = targets_.of_outside(stroke.tool, stroke.celsius);
        layer.runs.push_back({0.0, length_of(layer, stroke), target, true});
    } else {
        if (depth_ != nullptr) depth_->seek(stroke.start.z);
        march(layer, stroke, frames_[static_cast<std::size_t>(stroke.part)]);
    }
    stroke.last_run = static_cast<std::uint32_t>(layer.runs.size());
    std::uint32_t run = stroke.first_run;
    for (std::uint32_t i = stroke.first; i < stroke.last; ++i) {
        Segment& segment = layer.segments[i];
        while (run + 1 < stroke.last_run && layer.runs[run].end_mm <= segment.begin_mm) ++run;
        segment.run = run;
    }
}

/// Goes along the stroke by the distance that the field calls free, and brackets each crossing.
void Zoning::march(Layer& layer, const Stroke& stroke, const PartFrame& frame) {
    Walker walker(layer, stroke, frame);
    const double length = length_of(layer, stroke);
    region::ZoneField::Probe probe = field_.at(walker.spot(0.0));
    begin_run(layer, stroke, 0.0, probe.zone);
    double at = 0.0;
    while (at < length) {
        const double next = std::min(length, at + probe.free_mm);
        const int zone = probe.zone;
        probe = field_.at(walker.spot(next));
        if (probe.zone != zone) {
            double low = at, high = next;
            while (high - low > crossing_mm) {
                const double middle = (low + high) / 2;
                (field_.zone_at(walker.spot(middle)) == zone ? low : high) = middle;
            }
            begin_run(layer, stroke, high, field_.zone_at(walker.spot(high)));
            // The zone found at the crossing may be a thin one: the march goes on from there.
            if (high < next) {
                probe = field_.at(walker.spot(high));
                at = high;
                continue;
            }
        }
        at = next;
    }
    layer.runs.back().end_mm = length;
}

void Zoning::begin_run(Layer& layer, const Stroke& stroke, double at_mm, int zone) {
    const Target target = targets_.of_zone(zone, stroke.tool, stroke.celsius);
    if (layer.runs.size() > stroke.first_run) {
        layer.runs.back().end_mm = at_mm;
        if (layer.runs.back().target == target) return;
    }
    layer.runs.push_back({at_mm, at_mm, target, true});
}

/// A run that is too short joins a neighbour, whose target it then has. One that is long enough
/// keeps its own, whatever joins it; so does one that is alone. The strokes are one path, whatever
/// comments lie between: runs of one target are one across them.
void Zoning::bind_runs(Layer& layer, std::span<Stroke> path) const {
    const std::uint32_t first = path.front().first_run, last = path.back().last_run;
    for (Stroke& stroke : path) {
        stroke.path_first_run = first;
        stroke.path_last_run = last;
    }
    const bool whole = !path.front().continues && !path.back().broken_off;
    for (std::uint32_t begin = first, end = first; begin < last; begin = end) {
        double length_mm = 0.0;
        for (; end < last && layer.runs[end].target == layer.runs[begin].target; ++end)
            length_mm += layer.runs[end].end_mm - layer.runs[end].begin_mm;
        const bool alone = whole && begin == first && end == last;
        const bool binding = alone || length_mm >= plan_.split.shortest_mm + slack_mm_;
        for (std::uint32_t i = begin; i < end; ++i) layer.runs[i].binding = binding;
    }
}

}  // namespace durograde::check
