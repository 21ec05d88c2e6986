#include "region/zones.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::region {
namespace {

/// A margin, and how much of it is sure.
struct Known {
    double margin = 0.0;
    double sure = 0.0;  ///< the exact one has this magnitude at least
};

/// The rough margin where that tells the sign already.
Known know(const Margin& margin, const Spot& spot, Distances& distances) {
    if (margin.off() > 0.0 && margin.off() < unbounded) {
        const double rough = margin.at(spot, Precision::rough, distances);
        if (std::abs(rough) > margin.off()) return {rough, std::abs(rough) - margin.off()};
    }
    const double exact = margin.at(spot, Precision::exact, distances);
    return {exact, std::abs(exact)};
}

}  // namespace

Placement::Placement(const plan::PartPlace& place, int part)
    : x_mm_(place.x_mm), y_mm_(place.y_mm), part_(part) {
    const double turn_rad = place.turn_deg * std::numbers::pi / 180.0;
    cosine_ = std::cos(turn_rad);
    sine_ = std::sin(turn_rad);
}

Spot Placement::spot(const geometry::Point& point, long layer) const {
    const double dx = point.x - x_mm_, dy = point.y - y_mm_;
    return {{dx * cosine_ + dy * sine_, -dx * sine_ + dy * cosine_, point.z},
            point.z,
            static_cast<double>(layer),
            part_};
}

ZoneField::ZoneField(const plan::Plan& plan)
    : fields_(std::make_unique<Fields>(plan.shapes)),
      tolerance_mm_(plan.split.tolerance_mm),
      step_mm_(plan.split.step_mm) {
    for (const plan::Zone& zone : plan.zones) {
        margins_.emplace_back(zone.where, *fields_);
        samples_ = samples_ || margins_.back().lipschitz() == unbounded;
    }
}

ZoneField::Probe ZoneField::at(const Spot& spot) const {
    double free_mm = 1e30;
    double least_mm = tolerance_mm_ / 2;
    Distances distances;
    for (std::size_t i = 0; i < margins_.size(); ++i) {
        const Known known = know(margins_[i], spot, distances);
        const double slope = margins_[i].lipschitz();
        if (slope == unbounded) {
            free_mm = 0.0;
            least_mm = std::max(least_mm, step_mm_);
        } else if (slope > 0.0) {
            free_mm = std::min(free_mm, known.sure / slope);
        }
        if (known.margin <= 0.0) return {static_cast<int>(i), std::max(free_mm, least_mm)};
    }
    return {no_zone, std::max(free_mm, least_mm)};
}

int ZoneField::zone_at(const Spot& spot) const {
    Distances distances;
    for (std::size_t i = 0; i < margins_.size(); ++i) {
        if (know(margins_[i], spot, distances).margin <= 0.0) return static_cast<int>(i);
    }
    return no_zone;
}

}  // namespace durograde::region
