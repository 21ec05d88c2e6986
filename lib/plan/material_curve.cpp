#include "plan/material_curve.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>
#include <utility>

// The interpolator's header of Boost 1.74 calls isnan without a namespace.
using std::isnan;
#include <boost/math/interpolators/cubic_hermite.hpp>
#include <boost/math/interpolators/pchip.hpp>

namespace durograde::plan {
namespace {

using Numbers = std::vector<double>;

/// Slope in the middle of three points, after Fritsch and Butland (SIAM J. Sci. Stat. Comput. 5,
/// 1984): never more than three times the smaller secant, which keeps the cubic monotone.
double middle_slope(double before_width, double before, double after_width, double after) {
    if (before * after <= 0.0) return 0.0;
    const double w1 = 2 * after_width + before_width, w2 = after_width + 2 * before_width;
    return (w1 + w2) / (w1 / before + w2 / after);
}

/// Slopes for two or three points, by the rules that the pchip interpolator has for four and more.
Numbers few_slopes(const Numbers& x, const Numbers& y) {
    const double first = (y[1] - y[0]) / (x[1] - x[0]);
    if (x.size() == 2) return {first, first};
    const double last = (y[2] - y[1]) / (x[2] - x[1]);
    return {first, middle_slope(x[1] - x[0], first, x[2] - x[1], last), last};
}

/// Holds the end values beyond the points, where the interpolators throw.
template <typename Interpolator>
std::function<double(double)> held(Interpolator inside, double low, double high) {
    return [inside = std::move(inside), low, high](double x) {
        return inside(std::clamp(x, low, high));
    };
}

}  // namespace

std::function<double(double)> monotone_curve(Numbers x, Numbers y) {
    const auto [least, most] = std::minmax_element(y.begin(), y.end());
    if (*least == *most) return [value = *least](double) { return value; };
    const double low = x.front(), high = x.back();
    using namespace boost::math::interpolators;
    if (x.size() >= 4) return held(pchip<Numbers>(std::move(x), std::move(y)), low, high);
    Numbers slopes = few_slopes(x, y);
    return held(cubic_hermite<Numbers>(std::move(x), std::move(y), std::move(slopes)), low, high);
}

std::optional<double> inverse(const std::function<double(double)>& curve, double low, double high,
                              double wanted) {
    const bool rises = curve(high) > curve(low);
    const auto is_short = [&](double x) { return rises ? curve(x) < wanted : curve(x) > wanted; };
    if (is_short(high)) return std::nullopt;
    if (!is_short(low)) return curve(low) == wanted ? std::optional(low) : std::nullopt;
    constexpr int halvings = 60;  // of some 100 °C: the last bits of a double
    for (int i = 0; i < halvings; ++i) {
        const double middle = (low + high) / 2;
        (is_short(middle) ? low : high) = middle;
    }
    return high;
}

bool is_one_to_one(const std::vector<double>& values) {
    return std::adjacent_find(values.begin(), values.end(), std::less_equal<>()) == values.end() ||
           std::adjacent_find(values.begin(), values.end(), std::greater_equal<>()) == values.end();
}

Curve::Curve(const std::vector<MaterialPoint>& points) {
    const auto column = [&points](double MaterialPoint::*member) {
        Numbers numbers;
        for (const MaterialPoint& point : points) numbers.push_back(point.*member);
        return numbers;
    };
    temperatures_c_ = column(&MaterialPoint::temperature_c);
    hardness_is_monotone_ = is_one_to_one(column(&MaterialPoint::hardness_shore_a));
    const auto spread = [&](double MaterialSpread::*member) {
        Numbers numbers;
        for (const MaterialPoint& point : points) numbers.push_back(point.spread.*member);
        return monotone_curve(temperatures_c_, std::move(numbers));
    };
    const auto curve = [&column](double MaterialPoint::*member) {
        return monotone_curve(column(&MaterialPoint::temperature_c), column(member));
    };
    flow_ = curve(&MaterialPoint::flow);
    density_ = curve(&MaterialPoint::density_g_cm3);
    hardness_ = curve(&MaterialPoint::hardness_shore_a);
    ooze_ = curve(&MaterialPoint::ooze_mm3);
    max_flow_ = curve(&MaterialPoint::max_flow_mm3_s);
    flow_spread_ = spread(&MaterialSpread::flow);
    density_spread_ = spread(&MaterialSpread::density_g_cm3);
    hardness_spread_ = spread(&MaterialSpread::hardness_shore_a);
    ooze_spread_ = spread(&MaterialSpread::ooze_mm3);
    max_flow_spread_ = spread(&MaterialSpread::max_flow_mm3_s);
}

CardValues Curve::at(double temperature_c) const {
    CardValues values;
    const double t = std::clamp(temperature_c, temperatures_c_.front(), temperatures_c_.back());
    values.temperature_c = temperature_c;
    values.flow = flow_(t);
    values.density_g_cm3 = density_(t);
    values.hardness_shore_a = hardness_(t);
    values.ooze_mm3 = ooze_(t);
    values.max_flow_mm3_s = max_flow_(t);
    values.spread = {flow_spread_(t), density_spread_(t), hardness_spread_(t), ooze_spread_(t),
                     max_flow_spread_(t)};
    const auto above = std::lower_bound(temperatures_c_.begin(), temperatures_c_.end(), t);
    values.to_c = *above;
    values.from_c = *above == t ? t : *std::prev(above);
    return values;
}

std::optional<double> Curve::temperature_c(double hardness_shore_a) const {
    if (!hardness_is_monotone_) return std::nullopt;
    return inverse(hardness_, temperatures_c_.front(), temperatures_c_.back(), hardness_shore_a);
}

}  // namespace durograde::plan
