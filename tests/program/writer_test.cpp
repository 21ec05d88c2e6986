#include "program/writer.hpp"

#include <catch2/catch.hpp>

#include "reading.hpp"

namespace durograde {
namespace {

using program::Arc;
using program::Frame;
using program::Point;
using program::State;

State at(double x, double y, double z, const Frame& frame = {}) {
    State state;
    state.position = {x, y, z};
    state.known = {true, true, true};
    state.frame = frame;
    return state;
}

/// What a writer that stands in `state` writes.
template <typename Act>
std::string written(const State& state, Act act, program::Decimals decimals = {}) {
    ByteBuffer out;
    program::Writer writer(out, decimals, "\n");
    writer.adopt(state);
    act(writer);
    return std::string(out.view());
}

}  // namespace

TEST_CASE("writer: moves say what changes", "[program]") {
    const auto text = written(at(1, 2, 3), [](program::Writer& w) {
        w.travel({4, 2, 3}, 9000);
        w.travel({4, 2.5, 3.2}, 9000);
        w.travel({4, 2.5, 3.2}, 9000);
        w.lift(3.6, 720);
        w.bead({5, 2.5, 3.6}, 0.12345, 1200);
        w.bead({6, 2.5, 3.8}, 0.2, 1200);
        w.filament(-1.2, 2100);
    });
    CHECK(text ==
          "G1 X4.000 F9000\nG1 Y2.500 Z3.200\nG1 Z3.600 F720\n"
          "G1 X5.000 Y2.500 E0.12345 F1200\nG1 X6.000 Y2.500 Z3.800 E0.32345\n"
          "G1 E-0.87655 F2100\n");
}

TEST_CASE("writer: axes that are not known are said", "[program]") {
    State state = at(1, 2, 3);
    state.known = {false, true, false};
    CHECK(written(state, [](program::Writer& w) {
              CHECK_FALSE(w.knows_position());
              w.travel({1, 2, 3}, 9000);
              CHECK(w.knows_position());
          }) == "G1 X1.000 Z3.000 F9000\n");
}

TEST_CASE("writer: no exponent, no negative zero", "[program]") {
    const auto text = written(at(5, 5, 5),
                              [](program::Writer& w) {
                                  w.bead({-0.0000004, 0.0000012, -0.0004}, 1e-9, 0.4);
                              },
                              {3, 3, 5, 0});
    CHECK(text == "G1 X0.000 Y0.000 Z0.000 E0.00000 F0.400000\n");
    CHECK(written(at(0, 0, 0), [](program::Writer& w) {
              w.travel({1234567, -0.0012, 0}, 1e7);
          }) == "G1 X1234567.000 Y-0.001 F10000000\n");
}

TEST_CASE("writer: inches have the decimals asked for", "[program]") {
    Frame inch;
    inch.inch = true;
    CHECK(written(at(0, 0, 0, inch),
                  [](program::Writer& w) {
                      w.bead({25.4, 12.7, 0}, 2.54, 1524);
                  },
                  {4, 4, 6, 2}) == "G1 X1.0000 Y0.5000 E0.100000 F60.00\n");
}

TEST_CASE("writer: coordinates count from the program's zero, increments from the last point",
          "[program]") {
    State offset = at(10, 10, 1);
    offset.origin_mm = {10, 5, 0.5};
    CHECK(written(offset, [](program::Writer& w) {
              w.travel({12, 12, 1.5}, 600);
          }) == "G1 X2.000 Y7.000 Z1.000 F600\n");
    Frame relative;
    relative.relative = relative.e_relative = true;
    CHECK(written(at(10, 10, 1, relative), [](program::Writer& w) {
              w.travel({12, 9.5, 1}, 600);
          }) == "G1 X2.000 Y-0.500 F600\n");
}

TEST_CASE("writer: arcs by their centre's offset, one decimal finer", "[program]") {
    const auto text = written(at(10, 0, 0), [](program::Writer& w) {
        w.arc({0, 10, 0}, {0, 0, 10, 1.5707963267948966}, 0.5, 1200);
        w.arc({-10, 0, 0}, {0, 0, 10, 1.5707963267948966}, 0.0, 1200);
        w.arc({0, 10, 0}, {0, 0, 10, -1.5707963267948966}, 0.0, 1200);
    });
    CHECK(text ==
          "G3 X0.000 Y10.000 I-10.0000 J0.0000 E0.50000 F1200\n"
          "G3 X-10.000 Y0.000 I0.0000 J-10.0000\nG2 X0.000 Y10.000 I10.0000 J0.0000\n");
}

TEST_CASE("writer: volumes of E", "[program]") {
    Frame volume;
    volume.e_relative = true;
    volume.volumetric_area_mm2 = 2.405281875;  // of 1.75 mm filament
    CHECK(written(at(0, 0, 0, volume), [](program::Writer& w) { w.filament(1.0, 600); }) ==
          "G1 E2.40528 F600\n");
}

TEST_CASE("writer: a way from frame to frame", "[program]") {
    Frame other;
    other.relative = other.e_relative = true;
    CHECK(written(at(0, 0, 0), [&](program::Writer& w) { w.change_frame(other, 0); }) ==
          "G91\nM83\n");
    CHECK(written(at(0, 0, 0, other), [](program::Writer& w) { w.change_frame({}, 2.5); }) ==
          "G90\nM82\nG92 E2.50000\n");
    CHECK(written(at(0, 0, 0), [](program::Writer& w) { w.change_frame({}, 7); }).empty());
    Frame inch;
    inch.inch = true;
    CHECK(written(at(0, 0, 0), [&](program::Writer& w) { w.change_frame(inch, 1); }) ==
          "G20\nG92 E1.00000\n");
    Frame volume;
    volume.e_relative = true;
    volume.volumetric_area_mm2 = 2.405281875;
    CHECK(written(at(0, 0, 0), [&](program::Writer& w) { w.change_frame(volume, 0); }) ==
          "M200 D1.75\nM83\n");
    CHECK(written(at(0, 0, 0, volume), [](program::Writer& w) {
              Frame plain;
              plain.e_relative = true;
              w.change_frame(plain, 0);
          }) == "M200 D0\n");
}

TEST_CASE("writer: what a swap may have changed is said anew", "[program]") {
    State state = at(1, 2, 0.4);
    state.feed_mm_min = 1200;
    state.e_register = 3.5;
    CHECK(written(state, [](program::Writer& w) { CHECK(w.restate(1200, true) == 4); }) ==
          "G90\nM82\nG92 E3.50000\nG1 Z0.400 F1200\n");
    // Height and place are said absolutely: an increment would not mend what a swap has changed.
    state.frame.relative = state.frame.e_relative = true;
    CHECK(written(state, [](program::Writer& w) {
              CHECK(w.restate(1200, true) == 3);
              CHECK_FALSE(w.knows_position());
              w.travel({1, 5, 0.4}, 9000);
          }) == "G90\nM83\nG1 Z0.400 F1200\nG1 X1.000 Y5.000 F9000\n");
    CHECK(written(state, [](program::Writer& w) {
              w.restate(1200, false);
              w.travel({1, 5, 0.4}, 9000);
          }) == "G90\nM83\nG1 Z0.400 F1200\nG1 Y5.000 F9000\n");
}

TEST_CASE("writer: says how numbers are read where the program has not", "[program]") {
    CHECK(written(at(0, 0, 0), [](program::Writer& w) { CHECK(w.say_unsaid({}) == 3); }) ==
          "G21\nG90\nM82\n");
    CHECK(written(at(0, 0, 0), [](program::Writer& w) {
              CHECK(w.say_unsaid({.units = true, .distance = true, .e_mode = true}) == 0);
          }).empty());
}

TEST_CASE("writer: copies keep bytes, and only E is written anew", "[program]") {
    const auto text = written(at(0, 0, 0), [](program::Writer& w) {
        w.copy("g1 x5 e.5 ;  pad", "\r\n", {5, 0, 0}, 0.5, 1200);
        CHECK(w.e_register() == 0.5);
        w.copy_with_filament("g1 x9 e1.0 f900 ; p", "\n", 7, 10, {9, 0, 0}, 0.25, 900);
        CHECK(w.feed_mm_min() == 900);
        w.copy_register("G92 E0", "", 0);
        w.filament(0.5, 900);
        w.copy_other("M117 pad", "");
    });
    CHECK(text == "g1 x5 e.5 ;  pad\r\ng1 x9 e0.75000 f900 ; p\nG92 E0\nG1 E0.50000\nM117 pad\n");
}

TEST_CASE("writer: a feed is written where it changes", "[program]") {
    CHECK(written(at(0, 0, 0), [](program::Writer& w) {
              w.feed(1200);
              w.feed(1200);
              w.feed(0);
              w.travel({1, 0, 0}, 1200);
          }) == "G1 F1200\nG1 X1.000\n");
}

}  // namespace durograde
