#include "check/card.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {

Card::Card(std::span<const plan::MaterialPoint> points) {
    for (const plan::MaterialPoint& point : points) celsius_.push_back(point.temperature_c);
    flow_ = column(points, &plan::MaterialPoint::flow);
    ooze_ = column(points, &plan::MaterialPoint::ooze_mm3);
    hardness_ = column(points, &plan::MaterialPoint::hardness_shore_a);
    max_flow_ = column(points, &plan::MaterialPoint::max_flow_mm3_s);
}

Card::Column Card::column(std::span<const plan::MaterialPoint> points,
                          double plan::MaterialPoint::*member) const {
    Column column;
    for (const plan::MaterialPoint& point : points) column.values.push_back(point.*member);
    const std::vector<double>& y = column.values;
    const auto width = [&](std::size_t i) { return celsius_[i + 1] - celsius_[i]; };
    const auto secant = [&](std::size_t i) { return (y[i + 1] - y[i]) / width(i); };
    const std::size_t last = points.size() - 1;
    column.slopes.assign(points.size(), 0.0);
    column.slopes.front() = secant(0);
    column.slopes.back() = secant(last - 1);
    for (std::size_t i = 1; i < last; ++i) {
        const double before = secant(i - 1), behind = secant(i);
        if (std::signbit(before) != std::signbit(behind) || before == 0.0 || behind == 0.0)
            continue;
        // The nearer secant, over the narrower gap, counts for more.
        const double both = width(i - 1) + width(i);
        const double share = (width(i - 1) + 2 * width(i)) / (3 * both);
        column.slopes[i] = 1.0 / (share / before + (1.0 - share) / behind);
    }
    return column;
}

/// By the ordinates of the piece's four control points (de Casteljau).
double Card::at(const Column& column, double celsius) const {
    const std::vector<double>& y = column.values;
    if (celsius <= celsius_.front()) return y.front();
    if (celsius >= celsius_.back()) return y.back();
    const auto above = std::upper_bound(celsius_.begin(), celsius_.end(), celsius);
    const auto i = static_cast<std::size_t>(above - celsius_.begin()) - 1;
    const double width = celsius_[i + 1] - celsius_[i];
    const double t = (celsius - celsius_[i]) / width;
    const double a = y[i], b = a + column.slopes[i] * width / 3;
    const double d = y[i + 1], c = d - column.slopes[i + 1] * width / 3;
    const double ab = std::lerp(a, b, t), bc = std::lerp(b, c, t), cd = std::lerp(c, d, t);
    const double value = std::lerp(std::lerp(ab, bc, t), std::lerp(bc, cd, t), t);
    return std::clamp(value, std::min(a, d), std::max(a, d));
}

}  // namespace durograde::check
