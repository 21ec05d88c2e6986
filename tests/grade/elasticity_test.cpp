#include "grade/elasticity.hpp"

#include <catch2/catch.hpp>
#include <cmath>

using namespace durograde::grade;

// Gent 1958 as three independent public programs have it (values worked out from them, not seen in
// the paper): E in MPa at Shore A.
TEST_CASE("moduli are those of Gent's relation", "[predict]") {
    const auto [shore_a, mpa] = GENERATE(table<double, double>({{20, 0.731922},
                                                                {30, 1.142372},
                                                                {40, 1.689639},
                                                                {50, 2.455812},
                                                                {60, 3.605073},
                                                                {70, 5.520507},
                                                                {80, 9.351375},
                                                                {85, 13.182243},
                                                                {90, 20.843979},
                                                                {95, 43.829188}}));
    CHECK(gent_mpa(shore_a) == Approx(mpa).epsilon(1e-6));
}

TEST_CASE("Gent's relation is held where it would grow without end", "[predict]") {
    CHECK(std::isfinite(gent_mpa(100)));
    CHECK(gent_mpa(100) == gent_mpa(99));
    CHECK(gent_mpa(-5) == gent_mpa(0));
    // By hand: 0.0981 · 56 / (0.137505 · 254).
    CHECK(gent_mpa(0) == Approx(5.4936 / 34.92627).epsilon(1e-12));
}

// Open cells of Gibson and Ashby as Roberts and Garboczi quote them: E / Es = r².
TEST_CASE("foams soften by Gibson and Ashby's power of their fill", "[predict]") {
    CHECK(filled_mpa(1, 0.3, 2) == Approx(0.09).epsilon(1e-12));
    CHECK(filled_mpa(1, 0.5, 2) == Approx(0.25).epsilon(1e-12));
    CHECK(filled_mpa(1, 0.7, 2) == Approx(0.49).epsilon(1e-12));
    CHECK(filled_mpa(10, 0.5, 1) == Approx(5));
    CHECK(filled_mpa(10, 1.0, 1.5) == 10);
    // The chain of a published worked case: Shore A 90 solid, 60 % full, open cells: 7.503833 MPa.
    CHECK(filled_mpa(gent_mpa(90), 0.6, 2) == Approx(7.503833).epsilon(1e-6));
}
