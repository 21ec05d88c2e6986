#include "plan/material_curve.hpp"

#include <algorithm>
#include <cmath>
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

Curve::Curve(const std::vector<MaterialPoint>& points) {
    const auto column = [&points](double MaterialPoint::*member) {
        Numbers numbers;
        for (const MaterialPoint& point : points) numbers.push_back(point.*member);
        return numbers;
    };
    const auto curve = [&column](double MaterialPoint::*member) {
        return monotone_curve(column(&MaterialPoint::temperature_c), column(member));
    };
    flow_ = curve(&MaterialPoint::flow);
    density_ = curve(&MaterialPoint::density_g_cm3);
    hardness_ = curve(&MaterialPoint::hardness_shore_a);
    ooze_ = curve(&MaterialPoint::ooze_mm3);
}

}  // namespace durograde::plan
