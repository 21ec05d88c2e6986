#include "program/assembler.hpp"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "assembling.hpp"

/// Spans of strokes from lines: layers are found from the motion itself, pins keep their place.
namespace durograde {

using program::Bounds;
using program::Span;
using program::StepKind;
using program_test::assembled;
using program_test::layers_of;
using program_test::lines_of;

namespace {

const std::string start = "G90\nM83\nG1 X10 Y10 Z0.2 F1200\n";

}  // namespace

TEST_CASE("a bead at another height begins a layer, a travel does not", "[program]") {
    const auto spans = assembled(start +
                                 "G1 X20 E1\n"
                                 "G1 Z0.6\nG1 X30\nG1 Z0.2\nG1 X40 E1\n"  // a hop
                                 "G1 Z0.4\nG1 X50 E1\n"
                                 "G1 Z0.400\nG1 X60 E1\n"
                                 "G1 Z0.6\nG1 X70 E1\n");
    REQUIRE(spans.size() == 3);
    CHECK(layers_of(spans) == std::vector<long>{0, 1, 2});
    CHECK(spans[0].strokes.size() == 2);
    CHECK(spans[1].strokes.size() == 2);
    CHECK(spans[2].strokes.size() == 1);
    CHECK(spans[1].z_mm == Approx(0.4));
}

TEST_CASE("the approach of a layer's first stroke goes with that layer", "[program]") {
    const auto spans = assembled(start + "G1 X20 E1\nG1 E-1\nG1 Z0.4\nG1 E1\n; pad 2\nG1 X30 E1\n");
    REQUIRE(spans.size() == 2);
    CHECK(spans[0].tail_item == spans[0].items.size());
    CHECK(spans[1].text == "G1 E-1\nG1 Z0.4\nG1 E1\n; pad 2\nG1 X30 E1\n");
    REQUIRE(spans[1].strokes.size() == 1);
    CHECK(spans[1].strokes[0].first_item == 0);
    CHECK(spans[1].strokes[0].last_item == 4);
    CHECK(spans[1].items[0].kind == StepKind::filament);
    CHECK(spans[1].items[1].kind == StepKind::travel);
    CHECK(spans[1].items[3].kind == StepKind::comment);
}

TEST_CASE("parts one after another count their layers anew", "[program]") {
    std::string text = start;
    for (const char* z : {"0.2", "0.4", "0.6", "0.2", "0.4"}) {
        text += std::string("G1 Z") + z + "\nG1 X20 E1\nG1 X10\n";
    }
    const auto spans = assembled(text);
    CHECK(layers_of(spans) == std::vector<long>{0, 1, 2, 0, 1});
    program::LayerCounter counter;
    for (const double z : {0.2, 0.2, 0.4, 0.2}) counter.begins(z);
    CHECK(counter.runs() == 3);
}

TEST_CASE("a spiral keeps its order", "[program]") {
    const auto spans = assembled(start + "G1 X20 E1\nG1 X20 Y20 Z0.25 E1\nG1 X10 Y20 Z0.3 E1\n");
    REQUIRE(spans.size() == 1);
    CHECK(spans[0].in_order);
    CHECK_FALSE(spans[0].strokes[0].plain);
    CHECK_FALSE(assembled(start + "G1 X20 E1\n")[0].in_order);
}

TEST_CASE("pins split spans and keep their place", "[program]") {
    const std::string text = start + "G1 X20 E1\nM812 S440\nPICK_TRAY ROW=2\nG1 X30 E1\nG88.1\n";
    const auto spans = assembled(text);
    REQUIRE(spans.size() == 3);
    CHECK(spans[0].raw_lines == 0);
    CHECK(spans[1].raw_text() == "M812 S440\nPICK_TRAY ROW=2\n");
    CHECK(spans[1].raw_lines == 2);
    CHECK(spans[1].raw_steps.size() == 2);
    CHECK(spans[1].layer == 0);  // the same height is the same layer
    CHECK(spans[2].raw_text() == "G88.1\n");
    CHECK(spans[2].strokes.empty());
    CHECK(lines_of(spans) == text);
}

TEST_CASE("what lies outside the bounds stands as it is", "[program]") {
    const std::string before = start + "G1 X20 E1\n", middle = "G1 X30 E1\n",
                      after = "G1 X40 E1\nM104 S0\n";
    const Bounds bounds{before.size(), before.size() + middle.size()};
    const auto spans = assembled(before + middle + after, bounds);
    REQUIRE(spans.size() == 2);
    CHECK(spans[0].raw_text() == before);
    CHECK(spans[0].before_raw.known[0] == false);
    CHECK(spans[0].entry.position.x == 20);
    REQUIRE(spans[0].strokes.size() == 1);
    CHECK(spans[0].strokes[0].start.x == 20);
    CHECK(spans[0].layer == 0);
    CHECK(spans[1].raw_text() == after);
    CHECK(spans[1].before_raw.position.x == 30);
    CHECK(spans[1].strokes.empty());
}

TEST_CASE("a stroke ends where anything but a bead or progress comes between", "[program]") {
    const std::string set = start + "M106 S10\nM204 S900\n";
    CHECK(assembled(set + "G1 X20 E1\nM73 P5\nG1 X30 E1\n").back().strokes.size() == 1);
    for (const char* line :
         {"G1 X21", "G1 E-1", "M106 S99", "M204 S500", "; pad", "M104 S200", ""}) {
        CAPTURE(line);
        const auto spans = assembled(set + "G1 X20 E1\n" + line + "\nG1 X30 E1\n");
        REQUIRE(spans.size() == 2);
        CHECK(spans[1].strokes.size() == 2);
        CHECK(spans[1].strokes[1].first_item + 1 == spans[1].strokes[1].last_item);
    }
}

TEST_CASE("nothing moves across a setting that is made for the first time", "[program]") {
    // What held before it is not known, so no bead could be given it back.
    for (const char* line :
         {"M204 S500", "M204 T500", "M106 S99", "M106 P1 S99", "M201 X900", "M220 S90"}) {
        CAPTURE(line);
        const auto spans =
            assembled(start + "G1 X20 E1\n" + line + "\nG1 X30 E1\n" + line + "\nG1 X40 E1\n");
        REQUIRE(spans.size() == 2);
        CHECK(spans[0].strokes.size() == 1);
        CHECK(spans[1].raw_text() == std::string(line) + "\n");
        CHECK(spans[1].strokes.size() == 2);
    }
    // What P sets tells nothing of what T held.
    CHECK(assembled(start + "M204 P500\nG1 X20 E1\nM204 T900\nG1 X30 E1\n").size() == 3);
}

TEST_CASE("a stroke knows what it is printed with", "[program]") {
    const auto spans = assembled(
        "G90\nM82\nG92 E5\nT1\nM104 S215\nM106 S51\nM204 S700\nM220 S90\nM486 S2\n"
        "G1 X10 Y10 Z0.2 F9000\nG1 E3\nG1 E5\nG1 X20 E6.5 F1200\nG2 X30 I5 E7\n");
    const program::Span& span = spans.back();
    REQUIRE(span.strokes.size() == 1);
    const program::Stroke& stroke = span.strokes[0];
    CHECK(stroke.start == program::Point{10, 10, 0.2});
    CHECK(stroke.e_register == Approx(5));
    CHECK(stroke.tool == 1);
    CHECK(stroke.temperature_c == 215);
    CHECK(stroke.fan_duty == Approx(0.2));
    CHECK(stroke.fan_named);
    CHECK(stroke.speed_factor == Approx(0.9));
    CHECK(stroke.label == 2);
    CHECK(stroke.line == 13);
    CHECK(stroke.plain);
    const program::Settings nothing;
    CHECK(span.settings[stroke.settings]->lines_after(nothing).size() == 2);
    REQUIRE(span.segments.size() == 2);
    CHECK(span.segments[0].e_mm == Approx(1.5));
    CHECK(span.segments[0].states_feed == 1);
    CHECK(span.segments[1].states_feed == 0);
    CHECK(span.segments[1].feed_mm_min == 1200);
    CHECK(span.segments[1].arc == 0);
    CHECK(span.arcs.at(0).radius == Approx(5));
}

// What the output is brought to before a raw line is where the input was just before it, whatever
// kind of line it is.
TEST_CASE("the state before a raw line is that of the line before", "[program]") {
    for (const char* raw : {"G-1 X5", "/G1 X5", "P5", "A1", "M812", "G99", "END_JOB"}) {
        CAPTURE(raw);
        const auto spans = assembled("G1 X10 Y10 Z0.2 F600\nM106 S9\nG1 X20 E1\nG1 X30 E2\n" +
                                     std::string(raw) + "\nG0 X40\n");
        const program::Span& span = spans.back();
        CHECK(span.before_raw.position.x == 30);
        CHECK(span.before_raw.e_register == 2);
    }
}

TEST_CASE("filament fed in place by a line that says the place has that place before it",
          "[program]") {
    for (const char* fed : {"G1 X30 Y4 E2 F300", "G91\nG1 X0 Y0 E2 F300", "G1 Y4 E2 F300"}) {
        INFO(fed);
        const auto spans = assembled("G1 X0 Y4 Z0.2 F600\nM83\nG1 X10 E1 F900\nG1 X30\n" +
                                     std::string(fed) + "\nG90\nG1 X50 E1\n");
        REQUIRE(spans.size() >= 2);
        CHECK(spans[1].raw_lines == 1);
        CHECK(spans[1].before_raw.position.x == 30.0);
        CHECK(spans[1].before_raw.position.y == 4.0);
    }
}

TEST_CASE("a stroke knows what was drawn back for its own tool", "[program]") {
    const auto spans = assembled(
        "M83\nG1 X10 Y10 Z0.2 F600\nG1 E-1\nG1 X20 E1\nG1 E-2\nT1\nG1 X30 E1\nT0\nG1 X40 E1\n");
    std::vector<double> drawn_mm;
    for (const program::Span& span : spans) {
        for (const program::Stroke& stroke : span.strokes) drawn_mm.push_back(stroke.retracted_mm);
    }
    CHECK(drawn_mm == std::vector<double>{1, 0, 2});
}

TEST_CASE("a span holds no more settings than memory bears", "[program]") {
    // 256 fans, each a setting of its own, said once; then one after another is said anew.
    std::string text = start + "G1 X20 E1\n";
    for (int fan = 0; fan < 256; ++fan) text += "M106 P" + std::to_string(fan) + " S9\n";
    for (int i = 0; i < 5000; ++i) {
        text += "M106 P" + std::to_string(i % 256) + " S" + std::to_string(i % 7 + 10) + "\nG1 X" +
                std::to_string(20 + i % 2) + " E1\n";
    }
    std::size_t changes = 0;
    for (const program::Span& span : assembled(text)) {
        changes += span.settings.size() - 1;
        CHECK(span.settings.size() * span.settings.back()->families() <=
              200'000 + 512);  // one more
    }
    CHECK(changes > 4000);
}

TEST_CASE("a span that is full ends between two strokes", "[program]") {
    std::string text = start;
    for (int stroke = 0; stroke < 4001; ++stroke) {
        text += "G1 X10\n";
        for (int bead = 1; bead <= 47; ++bead)
            text += bead % 2 == 0 ? "G1 X11 E.1\n" : "G1 X12 E.1\n";
    }
    std::size_t strokes = 0;
    const auto spans = assembled(text);
    for (const Span& span : spans) {
        strokes += span.strokes.size();
        for (const program::Stroke& stroke : span.strokes)
            CHECK(stroke.last_segment - stroke.first_segment == 47);
    }
    CHECK(spans.size() == 2);
    CHECK(strokes == 4001);
}

}  // namespace durograde
