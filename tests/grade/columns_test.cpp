#include "grade/columns.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "region/zones.hpp"

using namespace durograde;
using grade::Band;
using region::PartModel;

namespace {

/// A block of whole cells of 0.5 mm, layers of 0.25 mm, zone 0 throughout, full.
PartModel block(std::size_t columns, std::size_t rows, std::size_t layers) {
    PartModel model;
    model.grid = {10.0, 20.0, 0.5, columns + 2, rows + 2};
    for (std::size_t k = 0; k < layers; ++k) {
        PartModel::Layer layer;
        layer.bottom_mm = 0.25 * static_cast<double>(k);
        layer.top_mm = layer.bottom_mm + 0.25;
        layer.zones.assign(model.grid.size(), region::no_zone);
        layer.fill.assign(model.grid.size(), 0.0F);
        for (std::size_t row = 1; row <= rows; ++row) {
            for (std::size_t column = 1; column <= columns; ++column) {
                layer.zones[row * model.grid.columns + column] = 0;
                layer.fill[row * model.grid.columns + column] = 1.0F;
            }
        }
        model.layers.push_back(std::move(layer));
    }
    return model;
}

void let_zone(PartModel::Layer& layer, std::int16_t zone) {
    for (std::int16_t& one : layer.zones)
        if (one != region::no_zone) one = zone;
}

constexpr plan::Range exponents{1.0, 2.0};

}  // namespace

// E · A / H by hand: 5 MPa · (4 mm · 2 mm) / 1 mm = 40 N/mm along z, where both bounds meet; along
// x 5 · (2 · 1) / 4 = 2.5, along y 5 · (4 · 1) / 2 = 10.
TEST_CASE("the bounds of a solid block meet, along every axis", "[predict]") {
    const PartModel model = block(8, 4, 4);
    const std::vector<Band> zones = {{5, 5}};
    const Band z = grade::stiffness_along_z(model, zones, exponents).value();
    CHECK(z.low == Approx(40));
    CHECK(z.high == Approx(40));
    const auto along = [&](const plan::Vec3& direction) {
        return grade::stiffness_along(model, direction, zones, exponents).value();
    };
    CHECK(along({1, 0, 0}).low == Approx(2.5));
    CHECK(along({1, 0, 0}).high == Approx(2.5));
    CHECK(along({0, -1, 0}).low == Approx(10));
    CHECK(along({0, -1, 0}).high == Approx(10));
    CHECK(along({0, 0, 1}).low == Approx(40));
    CHECK(along({0, 0, -1}).high == Approx(40));
}

// Half of 20 and half of 2 MPa, 8 mm² and 1 mm: in series 8 / (0.5 / 20 + 0.5 / 2) = 29.0909, in
// parallel 8 · (10 + 1) = 88. Along x the layers lie side by side, and both bounds meet at
// (20 + 2) · 1 mm² / 4 mm = 5.5.
TEST_CASE("a stack of two layers gives in series, by hand", "[predict]") {
    PartModel model = block(8, 4, 4);
    let_zone(model.layers[2], 1);
    let_zone(model.layers[3], 1);
    const std::vector<Band> zones = {{20, 20}, {2, 2}};
    const Band z = grade::stiffness_along_z(model, zones, exponents).value();
    CHECK(z.low == Approx(8 / (0.5 / 20 + 0.5 / 2)));
    CHECK(z.high == Approx(88));
    const Band same = grade::stiffness_along(model, {0, 0, 1}, zones, exponents).value();
    CHECK(same.low == Approx(z.low));
    CHECK(same.high == Approx(z.high));
    const Band x = grade::stiffness_along(model, {1, 0, 0}, zones, exponents).value();
    CHECK(x.low == Approx(5.5));
    CHECK(x.high == Approx(5.5));
}

// A gap of one layer below half of the columns: those carry nothing in series, 4 mm² are left; in
// parallel 5 · (4 · 1 + 4 · 0.75) = 35.
TEST_CASE("a column with a gap carries nothing in series", "[predict]") {
    PartModel model = block(8, 4, 4);
    for (std::size_t row = 1; row <= 4; ++row) {
        for (std::size_t column = 1; column <= 4; ++column)
            model.layers[0].zones[row * model.grid.columns + column] = region::no_zone;
    }
    const Band z = grade::stiffness_along_z(model, {{5, 5}}, exponents).value();
    CHECK(z.low == Approx(20));
    CHECK(z.high == Approx(35));
}

TEST_CASE("sparse places soften by the highest power below and the lowest above", "[predict]") {
    PartModel model = block(8, 4, 4);
    for (auto& layer : model.layers) layer.fill.assign(model.grid.size(), 0.5F);
    const Band z = grade::stiffness_along_z(model, {{5, 5}}, exponents).value();
    CHECK(z.low == Approx(40 * 0.25));
    CHECK(z.high == Approx(40 * 0.5));
    // The card's spread on top of it.
    const Band spread = grade::stiffness_along_z(model, {{4, 6}}, exponents).value();
    CHECK(spread.low == Approx(32 * 0.25));
    CHECK(spread.high == Approx(48 * 0.5));
    CHECK_FALSE(grade::stiffness_along_z(model, {Band{}}, exponents));
    CHECK_FALSE(grade::stiffness_along(model, {1, 0, 0}, {Band{}}, exponents));
}

// Between plates askew only a bar's corners touch: nothing runs from one to the other unbroken.
TEST_CASE("askew, no more is told than columns bear", "[predict]") {
    const PartModel model = block(8, 4, 4);
    const double half = std::sqrt(0.5);
    const Band askew = grade::stiffness_along(model, {half, half, 0}, {{5, 5}}, exponents).value();
    CHECK(askew.low == 0);
    CHECK(askew.high > 0);
    // E · V / L²: the columns' mean, 8 mm³ and a reach of (4 + 2) · √½, to the width of a cell.
    CHECK(askew.high == Approx(5 * 8 / 18.0).epsilon(0.1));
}
