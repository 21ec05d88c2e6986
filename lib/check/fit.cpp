#include "check/fit.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace durograde::check {
namespace {

/// A share of a segment's length, the ends told for certain: increments summed up in binary come to
/// the same end a little differently. `slack` is a unit of the last decimal.
double settled_share(double share, double slack) {
    if (share <= same_place * slack) return 0.0;
    return share >= 1.0 - same_place * slack ? 1.0 : share;
}

Fit fit_line(const Layer& layer, std::uint32_t index, const Act& bead, double slack_mm) {
    const Point from = layer.start_of(index);
    const Point& to = layer.segments[index].to;
    const double dx = to.x - from.x, dy = to.y - from.y;
    const double square = dx * dx + dy * dy;
    const double length = std::sqrt(square);
    const auto along = [&](const Point& p) {
        return ((p.x - from.x) * dx + (p.y - from.y) * dy) / square;
    };
    const auto away = [&](const Point& p) {
        return std::abs((p.x - from.x) * dy - (p.y - from.y) * dx) / length;
    };
    const double off_mm = std::max(away(bead.from), away(bead.to));
    if (off_mm > slack_mm) return {};
    const double begin = along(bead.from), end = along(bead.to);
    const auto [low, high] = std::minmax({begin, end});
    const double slack = slack_mm / length;
    if (low < -slack || high > 1.0 + slack) return {};
    // What is as short as rounding has no direction that counts, but it has its length.
    const bool reversed = begin - end > 2 * slack;
    return {true, settled_share(low, slack), settled_share(high, slack), reversed, off_mm};
}

/// On the same circle, turning the same way, within the sweep. Centres that are written rounded
/// beside rounded ends are off by up to three units of the last decimal.
Fit fit_arc(const Layer& layer, std::uint32_t index, const Act& bead, double slack_mm) {
    const Arc& arc = layer.arcs[static_cast<std::size_t>(layer.segments[index].arc)];
    const double slack = 3 * slack_mm;
    const bool reversed = (arc.sweep_rad > 0) != (bead.arc.sweep_rad > 0);
    const double begin_rad = bead.arc.begin_rad + (reversed ? bead.arc.sweep_rad : 0.0);
    if (std::abs(arc.center_x - bead.arc.center_x) > slack ||
        std::abs(arc.center_y - bead.arc.center_y) > slack ||
        std::abs(arc.radius - bead.arc.radius) > slack) {
        return {};
    }
    constexpr double turn = 2 * std::numbers::pi;
    const double sense = arc.sweep_rad > 0 ? 1.0 : -1.0;
    const double slack_rad = slack / arc.radius;
    const double whole_rad = std::abs(arc.sweep_rad);
    const double length_rad = std::abs(bead.arc.sweep_rad);
    double begin = std::fmod(sense * (begin_rad - arc.begin_rad) + 4 * turn, turn);
    if (begin + length_rad > whole_rad + slack_rad) begin -= turn;
    const double end = begin + length_rad;
    if (begin < -slack_rad || end > whole_rad + slack_rad) return {};
    const double unit = slack_mm / arc.radius / whole_rad;
    return {true, settled_share(begin / whole_rad, unit), settled_share(end / whole_rad, unit),
            reversed};
}

}  // namespace

Fit fit(const Layer& layer, std::uint32_t index, const Act& bead, const Precision& precision,
        bool reverses) {
    const Segment& segment = layer.segments[index];
    if (bead.is_arc != (segment.arc >= 0)) return {};
    const Fit found = bead.is_arc ? fit_arc(layer, index, bead, precision.xy_mm)
                                  : fit_line(layer, index, bead, precision.xy_mm);
    if (!found.lies_on || (found.reversed && !reverses)) return {};
    const double from_z = layer.start_of(index).z;
    const double rise = segment.to.z - from_z;
    // A cut is placed by length and its height rounded on its own.
    const double slack_z = precision.z_mm + std::abs(rise) * share_of(precision.xy_mm, segment);
    const double low_z = found.reversed ? bead.to.z : bead.from.z;
    const double high_z = found.reversed ? bead.from.z : bead.to.z;
    const bool level = std::abs(from_z + rise * found.from - low_z) <= slack_z &&
                       std::abs(from_z + rise * found.to - high_z) <= slack_z;
    return level ? found : Fit{};
}

}  // namespace durograde::check
