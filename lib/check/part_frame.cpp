#include "check/part_frame.hpp"

#include <cmath>
#include <numbers>

namespace durograde::check {
namespace {

/// To a millionth of a mm, finer than any program says: 0.1 + 0.2 is meant to be 0.3.
double as_said(double mm) {
    constexpr double per_mm = 1e6;
    // A double this large has no bits behind the point: adding it rounds, without a call.
    constexpr double no_fraction = 1.5 * (1LL << 52);
    return ((mm * per_mm + no_fraction) - no_fraction) / per_mm;
}

}  // namespace

/// Turned counter-clockwise by 90°, a part's x axis lies along the bed's y axis.
PartFrame::PartFrame(const plan::PartPlace& place, int part, const region::Depth* depth)
    : x_mm_(place.x_mm), y_mm_(place.y_mm), part_(part), kind_(place.kind), depth_(depth) {
    const auto heading = [](double degrees) {
        const double angle = degrees * std::numbers::pi / 180.0;
        return Direction{std::cos(angle), std::sin(angle)};
    };
    along_x_ = heading(place.turn_deg);
    along_y_ = heading(place.turn_deg + 90.0);
}

region::Spot PartFrame::spot(const Point& at, long layer) const {
    const double away_x = at.x - x_mm_, away_y = at.y - y_mm_;
    region::Spot spot;
    spot.height_mm = as_said(at.z);
    spot.point = {as_said(away_x * along_x_.x + away_y * along_x_.y),
                  as_said(away_x * along_y_.x + away_y * along_y_.y), spot.height_mm};
    spot.layer = static_cast<double>(layer);
    spot.part = part_;
    spot.kind = kind_;
    if (depth_ != nullptr)
        spot.depth_mm = depth_->mm_at(static_cast<std::size_t>(part_), at.x, at.y);
    return spot;
}

}  // namespace durograde::check
