#include "region/slice.hpp"

#include <catch2/catch.hpp>
#include <cmath>

/// What beads leave of a grid of 20 mm.
namespace durograde {
namespace {

using region::Grid;
using region::Slice;

const Grid grid{0.0, 0.0, 0.2, 101, 101};

std::size_t cell(double x_mm, double y_mm) {
    return static_cast<std::size_t>(std::lround(y_mm / 0.2)) * grid.columns +
           static_cast<std::size_t>(std::lround(x_mm / 0.2));
}

void ring(Slice& slice, double low, double high) {
    slice.paint({low, low, 0}, {high, low, 0}, 0.5, true);
    slice.paint({high, low, 0}, {high, high, 0}, 0.5, true);
    slice.paint({high, high, 0}, {low, high, 0}, 0.5, true);
    slice.paint({low, high, 0}, {low, low, 0}, 0.5, true);
}

}  // namespace

TEST_CASE("what reaches the rim of the grid is around the part, on both sides of a bar",
          "[slice]") {
    Slice slice;
    slice.clear(grid);
    slice.paint({-5, 10, 0}, {25, 10, 0}, 1.0, true);
    slice.find_spaces(0.4);
    CHECK(slice.spaces() == 1);
    slice.settle({true});
    CHECK(slice.is_outside(cell(3, 3)));
    CHECK(slice.is_outside(cell(3, 17)));
    CHECK_FALSE(slice.is_outside(cell(3, 10)));
}

TEST_CASE("a grid that is covered whole has a space around it all the same", "[slice]") {
    Slice slice;
    slice.clear(grid);
    slice.paint({-5, 10, 0}, {25, 10, 0}, 60.0, true);
    slice.find_spaces(0.4);
    CHECK(slice.spaces() == 1);
    slice.settle({true});
    CHECK_FALSE(slice.is_outside(cell(10, 10)));
}

TEST_CASE("rings leave spaces within each other, told by their width", "[slice]") {
    Slice slice;
    slice.clear(grid);
    ring(slice, 2, 18);
    ring(slice, 4, 16);
    slice.find_spaces(0.4);
    REQUIRE(slice.spaces() == 3);
    CHECK(slice.roomy_spaces(3.0) == std::vector<bool>{true, false, true});
    CHECK(slice.roomy_spaces(1.0) == std::vector<bool>{true, true, true});
    slice.settle({true, false, true});
    CHECK(slice.is_outside(cell(10, 10)));
    CHECK_FALSE(slice.is_outside(cell(3, 10)));
}

TEST_CASE("distances within a layer reach to the beads' edge, not to the cells'", "[slice]") {
    Slice slice;
    slice.clear(grid);
    slice.paint({5, 10.03, 0}, {15, 10.03, 0}, 3.1, true);
    slice.find_spaces(0.4);
    slice.settle({true});
    std::vector<std::int16_t> squares;
    const double unit = 25.0 / 16000;
    slice.measure(unit, 16000, squares);
    for (const double y : {8.6, 9.0, 9.4, 10.6, 11.0, 11.4}) {
        const double wanted = 1.55 - std::abs(y - 10.03);
        CHECK(std::abs(std::sqrt(squares[cell(10, y)] * unit) - wanted) < 0.01);
    }
}

}  // namespace durograde
