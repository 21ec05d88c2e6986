#include <rapidcheck.h>

#include <catch2/catch.hpp>

#include "assembling.hpp"
#include "random.hpp"
#include "sheet.hpp"
#include "style.hpp"

namespace durograde {
namespace {

using program::Span;

/// The strokes of all spans, as the lines that they are made of.
std::vector<std::string> strokes_of(const std::vector<Span>& spans) {
    std::vector<std::string> strokes;
    for (const Span& span : spans) {
        for (const program::Stroke& stroke : span.strokes) {
            std::string& text = strokes.emplace_back();
            for (std::uint32_t i = stroke.first_segment; i < stroke.last_segment; ++i) {
                text +=
                    span.text.substr(span.segments[i].text_at, span.segments[i].text_size) + '\n';
            }
        }
    }
    return strokes;
}

/// A program of many kinds of lines in no sensible order.
std::string jumble(sheets::Random& random) {
    std::string text = "G90\nM83\nG1 X10 Y10 Z0.2 F1200\n";
    const std::vector<std::string> kinds = {"G1 X{} E0.5\n",
                                            "G1 Y{} E0.25\r\n",
                                            "G1 X{}\n",
                                            "G1 Z0.2\n",
                                            "G1 Z0.4\n",
                                            "; pad {}\n",
                                            "\n",
                                            "M106 S{}\n",
                                            "M204 S{}\n",
                                            "G1 E-0.5\n",
                                            "M300 S{}\n",
                                            "M73 P{}\n",
                                            "T1\n",
                                            "T0\n",
                                            "M104 S200\n",
                                            "M486 S{}\n",
                                            "G92 E0\n",
                                            "G2 I3 E1\n",
                                            "M82\nM83\n",
                                            "G1 X{} Z0.5 E0.1\nG1 Z0.6\n"};
    const int count = random.between(1, 60);
    for (int i = 0; i < count; ++i) {
        std::string line = kinds[static_cast<std::size_t>(random.between(0, 19))];
        const std::size_t slot = line.find("{}");
        if (slot != std::string::npos)
            line.replace(slot, 2, std::to_string(random.between(20, 90)));
        text += line;
    }
    return text;
}

}  // namespace

TEST_CASE("spans hold every line once and in its order", "[program]") {
    REQUIRE(rc::check("over jumbles and any bounds", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::string text = jumble(random);
        program::Bounds bounds;
        const auto line_begin = [&] {
            const auto at =
                static_cast<std::size_t>(random.between(0, static_cast<int>(text.size())));
            return std::min(text.find('\n', at), text.size() - 1) + 1;
        };
        if (random.chance(50)) bounds.prologue_end = line_begin();
        if (random.chance(50)) bounds.epilogue_begin = std::max(bounds.prologue_end, line_begin());
        RC_ASSERT(program_test::lines_of(program_test::assembled(text, bounds)) == text);
    }));
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        const std::string sheet = sheets::make_sheet(sheets::style_from_seed(seed));
        CAPTURE(seed);
        REQUIRE(program_test::lines_of(program_test::assembled(sheet)) == sheet);
    }
}

TEST_CASE("progress told amid a layer's last stroke stays within that layer", "[program]") {
    const std::string text =
        "G90\nM83\nG1 X10 Y10 Z0.2 F1200\nG1 X20 E1\nM73 P5\nG1 X30 E1\n"
        "G1 Z0.4\nG1 X40 E1\n";
    const auto spans = program_test::assembled(text);
    CHECK(program_test::lines_of(spans) == text);
    REQUIRE(spans.size() == 2);
    CHECK(spans[1].text == "G1 Z0.4\nG1 X40 E1\n");
}

TEST_CASE("strokes follow each other within their span", "[program]") {
    REQUIRE(rc::check("over jumbles", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const auto spans = program_test::assembled(jumble(random));
        for (const Span& span : spans) {
            std::uint32_t segment = 0, item = 0;
            for (const program::Stroke& stroke : span.strokes) {
                RC_ASSERT(stroke.first_segment == segment);
                RC_ASSERT(stroke.last_segment > segment);
                RC_ASSERT(stroke.first_item == item);
                RC_ASSERT(stroke.settings < span.settings.size());
                segment = stroke.last_segment;
                item = stroke.last_item;
                // One height a span, unless it says otherwise.
                RC_ASSERT((span.in_order || std::abs(stroke.start.z - span.z_mm) < 1e-6));
            }
            RC_ASSERT(segment == span.segments.size());
            RC_ASSERT(item == span.tail_item);
        }
    }));
}

TEST_CASE("comments between beads change no stroke but where they stand", "[program]") {
    const std::string plain =
        "G90\nM83\nG1 X10 Y10 Z0.2 F1200\nG1 X20 E1\nG1 Y20 E1\nG1 Z0.4\nG1 X9 E1\n";
    const std::string noted =
        "; begin\nG90\nM83\nG1 X10 Y10 Z0.2 F1200\nG1 X20 E1\nG1 Y20 E1\n; next\n"
        "G1 Z0.4\nG1 X9 E1\n; end\n";
    CHECK(strokes_of(program_test::assembled(plain)) == strokes_of(program_test::assembled(noted)));
    CHECK(strokes_of(program_test::assembled(plain)).size() == 2);
}

}  // namespace durograde
