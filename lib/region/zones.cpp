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

/// Coordinates that a program says in decimals come out of sums, inches and turns with a noise in
/// the last bits of a double: what is said is meant. No program says a millionth of a mm.
double without_noise(double mm) {
    constexpr double per_mm = 1e6;
    // Adding what leaves no bits behind the point rounds to whole numbers, without a call.
    constexpr double whole = 6755399441055744.0;  // 1.5 * 2^52
    return (mm * per_mm + whole - whole) / per_mm;
}

/// The rough margin where that is farther than `band` from 0 for sure, else the exact one.
Known know(const Margin& margin, double band, const Spot& spot, Distances& distances) {
    if (margin.off() > 0.0 && margin.off() < unbounded) {
        const double rough = margin.at(spot, Precision::rough, distances);
        const double sure = std::abs(rough) - margin.off();
        if (sure > band) return {rough, sure};
    }
    const double exact = margin.at(spot, Precision::exact, distances);
    return {exact, std::abs(exact)};
}

}  // namespace

Placement::Placement(const plan::PartPlace& place, int part, const Depth* depth)
    : x_mm_(place.x_mm), y_mm_(place.y_mm), part_(part), kind_(place.kind), depth_(depth) {
    const double turn_rad = place.turn_deg * std::numbers::pi / 180.0;
    cosine_ = std::cos(turn_rad);
    sine_ = std::sin(turn_rad);
}

Spot Placement::spot(const geometry::Point& point, long layer) const {
    const double dx = point.x - x_mm_, dy = point.y - y_mm_;
    const double z = without_noise(point.z);
    return {
        {without_noise(dx * cosine_ + dy * sine_), without_noise(-dx * sine_ + dy * cosine_), z},
        z,
        static_cast<double>(layer),
        static_cast<double>(part_),
        static_cast<double>(kind_),
        depth_ != nullptr ? depth_->mm_at(static_cast<std::size_t>(part_), point.x, point.y) : 0.0};
}

ZoneField::ZoneField(const plan::Plan& plan)
    : fields_(std::make_unique<Fields>(plan.shapes)),
      tolerance_mm_(plan.split.tolerance_mm),
      step_mm_(plan.split.step_mm),
      interlock_mm_(plan.split.interlock_mm) {
    for (const plan::Zone& zone : plan.zones) {
        const Margin& margin = margins_.emplace_back(zone.where, *fields_);
        if (margin.lipschitz() == unbounded)
            sampled_.push_back(static_cast<int>(margins_.size()) - 1);
        const bool keeps = std::holds_alternative<plan::Keep>(zone.tool);
        temperatures_c_.push_back(keeps ? std::nan("") : plan.temperature_c(zone));
    }
}

/// By how much the boundary of `zone` against `other` is shifted outwards, in mm: the colder side,
/// which foams less and is the firm one, gains on even layers. Nothing where either keeps its tool.
double ZoneField::shift_mm(int zone, int other, double layer) const {
    if (interlock_mm_ == 0.0 || other == no_zone) return 0.0;
    const double here_c = temperatures_c_[static_cast<std::size_t>(zone)];
    const double there_c = temperatures_c_[static_cast<std::size_t>(other)];
    if (!(here_c < there_c) && !(here_c > there_c)) return 0.0;
    const bool is_even = std::fmod(layer, 2.0) == 0.0;
    return (here_c < there_c) == is_even ? interlock_mm_ : -interlock_mm_;
}

ZoneField::Probe ZoneField::probe(std::size_t first, const Spot& spot, Distances& distances) const {
    double free_mm = 1e30;
    double least_mm = tolerance_mm_ / 2;
    const auto probe_of = [&](int zone) { return Probe{zone, std::max(free_mm, least_mm)}; };
    for (std::size_t i = first; i < margins_.size(); ++i) {
        const double slope = margins_[i].lipschitz();
        const bool is_bounded = slope > 0.0 && slope < unbounded;
        const double band = is_bounded ? interlock_mm_ * slope : 0.0;
        const Known known = know(margins_[i], band, spot, distances);
        if (slope == unbounded) {
            free_mm = 0.0;
            least_mm = std::max(least_mm, step_mm_);
        } else if (is_bounded && known.sure > band) {
            free_mm = std::min(free_mm, (known.sure - band) / slope);
        } else if (is_bounded) {
            // Which way the boundary is shifted depends on what lies beyond.
            const Probe beyond = probe(i + 1, spot, distances);
            const double shift = shift_mm(static_cast<int>(i), beyond.zone, spot.layer) * slope;
            free_mm = std::min({free_mm, beyond.free_mm, std::abs(known.margin - shift) / slope});
            return probe_of(known.margin <= shift ? static_cast<int>(i) : beyond.zone);
        }
        if (known.margin <= 0.0) return probe_of(static_cast<int>(i));
    }
    return probe_of(no_zone);
}

ZoneField::Probe ZoneField::at(const Spot& spot) const {
    Distances distances;
    return probe(0, spot, distances);
}

int ZoneField::zone_at(const Spot& spot) const {
    return at(spot).zone;
}

}  // namespace durograde::region
