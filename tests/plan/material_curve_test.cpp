#include "plan/material_curve.hpp"

#include <rapidcheck.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

using durograde::plan::Curve;
using durograde::plan::MaterialPoint;
using durograde::plan::monotone_curve;

namespace {

using Numbers = std::vector<double>;

/// Temperatures in °C and densities in g/cm³ of a coupon, made up.
const Numbers coupon_c = {190, 200, 210, 220, 230, 240, 250};
const Numbers coupon_density = {1.18, 1.10, 0.95, 0.78, 0.66, 0.60, 0.58};

}  // namespace

// RPN 15A of Fritsch and Carlson, SIAM J. Numer. Anal. 17(2), 1980, 238-246, the usual test of such
// interpolants. It publishes the data alone; what is expected comes from a library: Boost 1.74
// pchip, which between the first and the last interval agrees with SciPy 1.10.1 PchipInterpolator
// to 12 digits; at the ends Boost takes the one-sided secant.
TEST_CASE("the standard data set is interpolated as published", "[curve]") {
    const auto curve = monotone_curve(
        {7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20},
        {0, 2.76429e-5, 4.37498e-2, 0.169183, 0.469428, 0.943740, 0.998636, 0.999919, 0.999994});
    const auto [x, expected] = GENERATE(table<double, double>({
        {8.0, 2.51581828632e-06},  // first interval: Boost alone
        {8.14, 0.0176971673759},
        {8.4, 0.0966688056077},
        {9.0, 0.337534326846},
        {9.5, 0.685217945111},
        {11, 0.986043362535},
        {13, 0.999361822092},
        {17.5, 0.999966765427},  // last interval: Boost alone
    }));
    CHECK(curve(x) == Approx(expected).margin(1e-10).epsilon(0));
}

// Hand-checkable: y = x² at 0 to 3. Expected: Boost 1.74 pchip; the inner interval as in
// SciPy 1.10.1.
TEST_CASE("a parabola's points give the hand-checked values", "[curve]") {
    const auto curve = monotone_curve({0, 1, 2, 3}, {0, 1, 4, 9});
    CHECK(curve(0.5) == Approx(0.4375).margin(1e-12).epsilon(0));
    CHECK(curve(1.25) == Approx(1.50390625).margin(1e-12).epsilon(0));
    CHECK(curve(1.5) == Approx(2.21875).margin(1e-12).epsilon(0));
    CHECK(curve(2.5) == Approx(6.34375).margin(1e-12).epsilon(0));
}

// Uneven widths; inner interval of SciPy 1.10.1 PchipInterpolator, slopes there 9/13 and 27/29.
TEST_CASE("uneven widths weigh the slopes", "[curve]") {
    const auto curve = monotone_curve({0, 1, 3, 4}, {0, 1, 2, 5});
    CHECK(curve(2) == Approx(1.44031830239).margin(1e-10).epsilon(0));
}

// Steps and a zigzag; inner intervals of SciPy 1.10.1 PchipInterpolator.
TEST_CASE("a plateau stays flat and a turning point is no overshoot", "[curve]") {
    const auto steps = monotone_curve({0, 1, 2, 3, 4}, {0, 0, 1, 1, 2});
    CHECK(steps(1.5) == Approx(0.5).margin(1e-12).epsilon(0));
    CHECK(steps(2.5) == Approx(1.0).margin(1e-12).epsilon(0));
    const auto zigzag = monotone_curve({0, 1, 2, 3}, {0, 2, 1, 3});
    CHECK(zigzag(1.5) == Approx(1.5).margin(1e-12).epsilon(0));
    for (double x = 1; x <= 2; x += 0.01) CHECK((zigzag(x) <= 2 && zigzag(x) >= 1));
}

// Coupon table, inner intervals of SciPy 1.10.1 PchipInterpolator, which Boost shares; the outer
// two, 195 and 245 °C, worked out by hand with the one-sided secants -0.008 and -0.002 at the ends:
// (y0 + y1) / 2 + h (d0 - d1) / 8.
TEST_CASE("the coupon's densities are interpolated as published", "[curve]") {
    std::vector<MaterialPoint> points;
    for (std::size_t i = 0; i < coupon_c.size(); ++i)
        points.push_back({coupon_c[i], 1.0, coupon_density[i], 0.0, 0.0});
    const Curve curve(points);
    const auto [celsius, expected, margin] = GENERATE(table<double, double, double>({
        {205, 1.03187839674, 1e-10},
        {214, 0.880716206897, 1e-10},
        {225, 0.712413793103, 1e-10},
        {237.5, 0.60984375, 1e-10},
        {195, 1.14 + 10 * (-0.008 + 0.0104347826087) / 8, 1e-10},
        {245, 0.59 + 10 * (-0.003 + 0.002) / 8, 1e-10},
        {226.0214894, 0.70, 1e-8},  // the inverse, SciPy; 1e-7 °C are 1e-9 g/cm³
        {212.9281587, 0.90, 1e-8},
    }));
    CHECK(curve.density_g_cm3(celsius) == Approx(expected).margin(margin).epsilon(0));
}

TEST_CASE("each measured value has a curve of its own", "[curve]") {
    const Curve curve({{190, 1.0, 1.2, 92, 0.4}, {240, 0.6, 0.7, 62, 2.4}});
    CHECK(curve.flow(215) == Approx(0.8));
    CHECK(curve.density_g_cm3(215) == Approx(0.95));
    CHECK(curve.hardness_shore_a(215) == Approx(77));
    CHECK(curve.ooze_mm3(215) == Approx(1.4));
}

TEST_CASE("two points give the straight line", "[curve]") {
    const auto line = monotone_curve({190, 240}, {1.0, 0.5});
    for (double x = 190; x <= 240; x += 2.5)
        CHECK(line(x) == Approx(1.0 - (x - 190) / 100).margin(1e-14).epsilon(0));
}

// Three points by hand: x 0 1 3, y 0 1 2. Secants 1 and 1/2; w1 = 2·2 + 1 = 5, w2 = 2 + 2·1 = 4, so
// the middle slope is 9 / (5/1 + 4/0.5) = 9/13. Then f(0.5) = 1/2 + (1 - 9/13) / 8 and f(2) = 3/2 +
// 2 (9/13 - 1/2) / 8.
TEST_CASE("three points follow the same rules by hand", "[curve]") {
    const auto curve = monotone_curve({0, 1, 3}, {0, 1, 2});
    CHECK(curve(0.5) == Approx(0.5 + (1 - 9.0 / 13) / 8).margin(1e-14).epsilon(0));
    CHECK(curve(2) == Approx(1.5 + 2 * (9.0 / 13 - 0.5) / 8).margin(1e-14).epsilon(0));
    const auto peak = monotone_curve({0, 1, 2}, {0, 1, 0});
    for (double x = 0; x <= 2; x += 0.01) CHECK(peak(x) <= 1);
}

TEST_CASE("equal values give exactly that value", "[curve]") {
    const Curve curve({{190, 1.1, 0, 0, 0.1},
                       {200, 1.1, 0, 0, 0.1},
                       {207, 1.1, 0, 0, 0.1},
                       {219, 1.1, 0, 0, 0.1}});
    for (double x = 180; x < 230; x += 0.37) {
        CHECK(curve.flow(x) == 1.1);
        CHECK(curve.ooze_mm3(x) == 0.1);
        CHECK(curve.density_g_cm3(x) == 0.0);
    }
}

TEST_CASE("beyond the points the end values hold", "[curve]") {
    for (const std::size_t count : {2U, 3U, 7U}) {
        Numbers x = coupon_c, y = coupon_density;
        x.resize(count);
        y.resize(count);
        const auto curve = monotone_curve(x, y);
        CHECK(curve(100) == coupon_density[0]);
        CHECK(curve(400) == coupon_density[count - 1]);
    }
}

TEST_CASE("monotone data gives a monotone curve through its points", "[curve]") {
    const bool held = rc::check("monotone", [] {
        const auto steps = *rc::gen::nonEmpty(rc::gen::container<std::vector<std::pair<int, int>>>(
            rc::gen::pair(rc::gen::inRange(1, 500), rc::gen::inRange(0, 1000))));
        Numbers x = {190}, y = {0.5};
        for (const auto& [dx, dy] : steps) {
            x.push_back(x.back() + dx / 10.0);
            y.push_back(y.back() + dy / 100.0);
        }
        const auto curve = monotone_curve(x, y);
        for (std::size_t i = 0; i < x.size(); ++i)
            RC_ASSERT(std::abs(curve(x[i]) - y[i]) <= 1e-12 * y.back());
        double before = y.front();
        for (int i = 0; i <= 400; ++i) {
            const double at = x.front() + (x.back() - x.front()) * i / 400;
            const double value = curve(at);
            RC_ASSERT(value >= before - 1e-12 * y.back());
            RC_ASSERT(value <= y.back() * (1 + 1e-12));
            before = value;
        }
    });
    CHECK(held);
}
