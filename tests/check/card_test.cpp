#include "check/card.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "plan/material_curve.hpp"
#include "random.hpp"

/// The proof's own interpolation beside the one by which programs are graded.
namespace durograde {
namespace {

std::vector<plan::MaterialPoint> random_points(sheets::Random& random) {
    std::vector<plan::MaterialPoint> points;
    double celsius = 180;
    for (int i = random.between(2, 7); i > 0; --i) {
        plan::MaterialPoint point;
        point.temperature_c = celsius;
        point.flow = random.stepped(3, 10, 0.1);
        point.ooze_mm3 = random.stepped(0, 30, 0.1);
        point.hardness_shore_a = random.stepped(50, 95, 1);
        point.max_flow_mm3_s = random.stepped(2, 9, 1);
        points.push_back(point);
        celsius += random.between(1, 30);
    }
    return points;
}

}  // namespace

TEST_CASE("both interpolations of the card agree, and stay between neighbours", "[check]") {
    for (std::uint64_t seed = 0; seed < 500; ++seed) {
        CAPTURE(seed);
        sheets::Random random(seed);
        const std::vector<plan::MaterialPoint> points = random_points(random);
        const check::Card card(points);
        const plan::Curve curve(points);
        for (double celsius = 170; celsius < points.back().temperature_c + 10; celsius += 0.37) {
            CAPTURE(celsius);
            CHECK(card.flow(celsius) == Approx(curve.flow(celsius)).epsilon(1e-12));
            CHECK(card.ooze_mm3(celsius) ==
                  Approx(curve.ooze_mm3(celsius)).epsilon(1e-12).margin(1e-12));
            CHECK(card.hardness_shore_a(celsius) ==
                  Approx(curve.hardness_shore_a(celsius)).epsilon(1e-12));
            CHECK(card.max_flow_mm3_s(celsius) ==
                  Approx(curve.max_flow_mm3_s(celsius)).epsilon(1e-12));
        }
        for (std::size_t i = 0; i + 1 < points.size(); ++i) {
            const plan::MaterialPoint &a = points[i], &b = points[i + 1];
            CHECK(card.flow(a.temperature_c) == a.flow);
            const double middle = card.flow((a.temperature_c + b.temperature_c) / 2);
            CHECK(middle >= std::min(a.flow, b.flow));
            CHECK(middle <= std::max(a.flow, b.flow));
        }
    }
}

TEST_CASE("a card of the same value everywhere is that value to the last bit", "[check]") {
    std::vector<plan::MaterialPoint> points(3);
    for (std::size_t i = 0; i < points.size(); ++i) {
        points[i].temperature_c = 190.0 + 17.0 * static_cast<double>(i);
        points[i].flow = 0.7;
    }
    const check::Card card(points);
    for (double celsius = 185; celsius < 235; celsius += 0.13) CHECK(card.flow(celsius) == 0.7);
}

}  // namespace durograde
