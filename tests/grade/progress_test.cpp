#include "grade/progress.hpp"

#include <catch2/catch.hpp>
#include <cstdio>
#include <vector>

#include "grading.hpp"
#include "line.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// What a graded program says of its progress is its own.
namespace durograde::grade {
namespace {

struct Said {
    int percent = 0;
    long minutes_left = 0;
};

std::vector<Said> said_in(std::string_view text) {
    std::vector<Said> said;
    while (!text.empty()) {
        const std::string line(text.substr(0, text.find('\n')));
        text.remove_prefix(std::min(text.size(), line.size() + 1));
        Said now;
        if (!line.starts_with("M73")) continue;
        REQUIRE(std::sscanf(line.c_str(), "M73 P%d R%ld", &now.percent, &now.minutes_left) == 2);
        said.push_back(now);
    }
    return said;
}

sheets::Style one_pad() {
    sheets::Style style = sheets::style_from_seed(4);
    style.parts = 1;
    style.layers = 3;
    style.progress = style.line_numbers = style.crlf = style.lower_case = style.no_blanks = false;
    return sheets::sane(style);
}

plan::Plan plan_for_pad() {
    return support::plan_for(one_pad(), support::plan_shape_from_seed(4));
}

/// The sheet with `line` after each line that moves in height alone.
std::string with_pauses(const std::string& text, const std::string& line) {
    std::string result;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size() - 1) + 1;
        const std::string_view one = std::string_view(text).substr(at, end - at);
        result += one;
        if (one.starts_with("G0 Z") || one.starts_with("G1 Z")) result += line;
        at = end;
    }
    return result;
}

}  // namespace

TEST_CASE("progress goes from 0 to 100 percent and never back", "[grade]") {
    const std::string text = "M73 P0 R17\n" + sheets::make_sheet(one_pad());
    Figures figures;
    const std::string after = support::graded(plan_for_pad(), text, figures);
    const std::vector<Said> said = said_in(after);
    REQUIRE(said.size() > 5);
    CHECK(said.front().percent == 0);
    CHECK(said.front().minutes_left == std::lround(figures.after_s / 60));
    CHECK(said.back().percent == 100);
    CHECK(said.back().minutes_left == 0);
    for (std::size_t i = 1; i < said.size(); ++i) {
        CHECK(said[i].percent >= said[i - 1].percent);
        CHECK(said[i].minutes_left <= said[i - 1].minutes_left);
    }
    CHECK(figures.edits.inserted[static_cast<std::size_t>(Reason::progress)] == said.size());
}

TEST_CASE("minutes left are those of the output's own time", "[grade]") {
    const std::string text = "M73 P0 R17\n" + sheets::make_sheet(one_pad());
    const std::string paused = with_pauses(text, "G4 S6000\n");
    REQUIRE(paused != text);
    Figures figures;
    const std::vector<Said> said = said_in(support::graded(plan_for_pad(), paused, figures));
    const auto pauses = static_cast<long>((paused.size() - text.size()) / 9);
    // Each pause takes 100 minutes off, at once.
    long large_steps = 0;
    for (std::size_t i = 1; i < said.size(); ++i) {
        const long step = said[i - 1].minutes_left - said[i].minutes_left;
        if (step >= 99) large_steps += std::lround(static_cast<double>(step) / 100.0);
    }
    CHECK(large_steps == pauses);
    CHECK(figures.after_s > 6000.0 * static_cast<double>(pauses));
}

TEST_CASE("progress is stated with the letters of the input, or not at all", "[grade]") {
    const auto style_of = [](const char* text) {
        ProgressStyle style;
        grammar::Line line;
        grammar::parse_line(text, line);
        style.see(line);
        return style;
    };
    CHECK(style_of("M73 P3").line(12, 45) == "M73 P12");
    CHECK(style_of("M73 P3 R1").line(12, 45) == "M73 P12 R45");
    CHECK(style_of("M73 Q3 S1").line(12, 45) == "M73 Q12 S45");
    CHECK_FALSE(style_of("M73").any());
    CHECK(said_in(support::graded(plan_for_pad(), sheets::make_sheet(one_pad()))).empty());
}

}  // namespace durograde::grade
