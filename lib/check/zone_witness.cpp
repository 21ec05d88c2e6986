#include "check/zone_witness.hpp"

#include <algorithm>
#include <array>

#include "check/walker.hpp"

namespace durograde::check {
namespace {

constexpr double beside_end_mm = 0.05;
constexpr double long_run_mm = 2.0;
constexpr std::uint64_t most_looks = 2'000'000;  // at triangles, before places are halved
constexpr std::size_t most_doubts = 8;           // of a layer

}  // namespace

ZoneWitness::ZoneWitness(const plan::Plan& plan, const Targets& targets, double slack_mm)
    : truth_(plan), targets_(targets), reach_mm_(2 * (slack_mm + plan.split.interlock_mm)) {}

void ZoneWitness::see(Layer& layer, const Stroke& stroke, const PartFrame& frame) {
    Walker walker(layer, stroke, frame);
    for (std::uint32_t i = stroke.first_run; i < stroke.last_run; ++i) {
        const Run& run = layer.runs[i];
        if (!run.binding) continue;
        const double length_mm = run.end_mm - run.begin_mm;
        const double beside_mm = std::min(beside_end_mm, length_mm / 4);
        ask(layer, stroke, run, frame, walker, run.begin_mm + beside_mm);
        if (length_mm > long_run_mm)
            ask(layer, stroke, run, frame, walker, run.begin_mm + length_mm / 3);
        ask(layer, stroke, run, frame, walker, run.begin_mm + length_mm / 2);
        ask(layer, stroke, run, frame, walker, run.end_mm - beside_mm);
    }
}

/// All places where no mesh is looked at; else every place, every second one, every fourth, and so
/// on, as often as the triangles looked at reach their limit anew.
bool ZoneWitness::is_asked() {
    if (truth_.triangles() == 0) return true;
    if (places_++ % every_ != 0) return false;
    looks_ += truth_.triangles();
    if (looks_ > most_looks) {
        looks_ = 0;
        every_ *= 2;
    }
    return true;
}

void ZoneWitness::ask(Layer& layer, const Stroke& stroke, const Run& run, const PartFrame& frame,
                      Walker& walker, double at_mm) {
    if (!is_asked() || layer.doubts.size() >= most_doubts) return;
    if (agrees(stroke, run.target, frame, walker.point(at_mm))) return;
    layer.doubts.push_back(walker.segment().line);
}

/// Whether the zone there, or one within reach of a boundary, leads to the target.
bool ZoneWitness::agrees(const Stroke& stroke, const Target& target, const PartFrame& frame,
                         const Point& at) {
    const auto leads = [&](const Point& place) {
        const std::optional<int> zone = truth_.zone_at(frame.spot(place, stroke.layer));
        return !zone || targets_.of_zone(*zone, stroke.tool, stroke.celsius) == target;
    };
    if (leads(at)) return true;
    const double r = reach_mm_;
    const std::array<Point, 6> around = {Point{r, 0, 0}, {-r, 0, 0}, {0, r, 0},
                                         {0, -r, 0},     {0, 0, r},  {0, 0, -r}};
    return std::any_of(around.begin(), around.end(), [&](const Point& away) {
        return leads({at.x + away.x, at.y + away.y, at.z + away.z});
    });
}

}  // namespace durograde::check
