#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "pad_program.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "random.hpp"
#include "replay.hpp"
#include "sheet.hpp"

/// Where one zone ends and the next begins.
namespace durograde {
namespace {

plan::Plan plan_of(const std::vector<std::string>& conditions) {
    std::string zones;
    for (std::size_t i = 0; i < conditions.size(); ++i) {
        zones += "[[zone]]\nname = \"" + std::to_string(i) + "\"\nwhere = \"" + conditions[i] +
                 "\"\ntool = " + std::to_string(i % 2) + "\n";
    }
    return plan::load_text(
        support::two_tools_text("", "", zones + "[sheet]\nplace = [{ x = 60, y = 60 }]\n"),
        "plan.toml");
}

std::string number_of(double number) {
    return fmt::format("{:.6f}", number);
}

/// A pad whose heights come out of absolute numbers, of increments or of inches.
std::string pad_of(double layer_mm, int layers, int way) {
    const double unit = way == 2 ? 25.4 : 1.0;
    std::string text = std::string(way == 2 ? "G20" : "G21") +
                       "\nG90\nM83\nG28\nM104 S190\nM109 S190\nG1 Z0 F600\n";
    const auto to = [&](double x, double y, double e) {
        return fmt::format("G1 X{:.6f} Y{:.6f}{} F100\n", x / unit, y / unit,
                           e > 0 ? fmt::format(" E{:.6f}", e / unit) : "");
    };
    for (int layer = 0; layer < layers; ++layer) {
        const double up = way == 1 ? layer_mm : layer_mm * (layer + 1);
        if (way == 1) text += "G91\n";
        text += "G1 Z" + number_of(up / unit) + "\n";
        if (way == 1) text += "G90\nM83\n";
        text +=
            to(52, 52, 0) + to(68, 52, 0.6) + to(68, 68, 0.6) + to(52, 68, 0.6) + to(52, 52, 0.6);
    }
    return text;
}

/// Length of the beads at a height.
double length_at(const std::string& text, int tool, double z_mm) {
    double sum = 0.0;
    for (const support::Bead& bead : support::replay(text).beads) {
        if (bead.tool == tool && std::abs(bead.z0 - z_mm) < 1e-4) sum += bead.length_mm();
    }
    return sum;
}

/// Where a bead ends, and with which tool.
struct End {
    double x = 0.0, y = 0.0, z = 0.0;
    int tool = 0;
};

std::vector<End> ends_of(const std::string& text) {
    std::vector<End> ends;
    for (const support::Bead& bead : support::replay(text).beads) {
        if (bead.priming) continue;
        ends.push_back({bead.x0, bead.y0, bead.z0, bead.tool});
        ends.push_back({bead.x1, bead.y1, bead.z1, bead.tool});
    }
    return ends;
}

/// How many of the one lie farther from all of the other than boundaries are told to.
long strangers(const std::vector<End>& some, const std::vector<End>& others) {
    constexpr double unit = 0.0201;
    return std::count_if(some.begin(), some.end(), [&](const End& a) {
        return std::none_of(others.begin(), others.end(), [&](const End& b) {
            return a.tool == b.tool && std::abs(a.x - b.x) <= unit && std::abs(a.y - b.y) <= unit &&
                   std::abs(a.z - b.z) <= unit;
        });
    });
}

bool is_bead(const std::string& line) {
    return line.rfind("G1", 0) == 0 && line.find('E') != std::string::npos &&
           (line.find('X') != std::string::npos || line.find('Y') != std::string::npos);
}

/// Puts comments and blank lines behind some of the lines that lay a bead.
std::string with_comments(const std::string& text, sheets::Random& random) {
    std::string result;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size() - 1);
        const std::string line = text.substr(at, end - at);
        result += line + "\n";
        if (is_bead(line) && random.chance(30))
            result += random.chance(70) ? "; a comment\n" : "\n";
        at = end + 1;
    }
    return result;
}

}  // namespace

TEST_CASE("of a height and its opposite exactly one holds in every layer", "[grade]") {
    for (std::uint64_t seed = 0; seed < 60; ++seed) {
        INFO("seed " << seed);
        sheets::Random random(seed);
        const int layers = random.between(4, 9), way = random.between(0, 2);
        const double layer_mm =
            way == 2 ? 0.0254 * random.between(6, 12) : random.stepped(10, 35, 0.01);
        const double bound = layer_mm * random.between(1, layers);
        const std::string at = number_of(bound), before = pad_of(layer_mm, layers, way);
        const bool strict = random.chance(50);
        const std::string lower = strict ? "height < " + at : "height <= " + at;
        const std::string upper = strict ? "height >= " + at : "height > " + at;
        const std::string field = random.chance(50) ? lower : "not (" + upper + ")";
        // The zone below, and the rest; then the zone above, and the rest.
        const plan::Plan below = plan_of({field, "true"}), above = plan_of({upper, "true"});
        const std::string by_below = support::graded(below, before);
        const std::string by_above = support::graded(above, before);
        CAPTURE(field, upper, way);
        CHECK(check_tests::fallen(check_tests::judge(below, before, by_below)).empty());
        CHECK(check_tests::fallen(check_tests::judge(above, before, by_above)).empty());
        for (int layer = 1; layer <= layers; ++layer) {
            const double z = layer_mm * layer;
            const bool is_below = strict ? z < bound - 1e-4 : z < bound + 1e-4;
            CHECK(length_at(by_below, is_below ? 0 : 1, z) == Approx(64));
            CHECK(length_at(by_above, is_below ? 1 : 0, z) == Approx(64));
        }
    }
}

TEST_CASE("a layer that neither of two strict conditions takes goes to the zone behind them",
          "[grade]") {
    const std::string before = pad_of(0.25, 6, 1);
    const plan::Plan plan = plan_of({"height < 1", "false", "height > 1", "true"});
    const std::string after = support::graded(plan, before);
    CHECK(length_at(after, 0, 0.75) == Approx(64));
    CHECK(length_at(after, 1, 1.0) == Approx(64));
    CHECK(length_at(after, 0, 1.25) == Approx(64));
    CHECK(check_tests::fallen(check_tests::judge(plan, before, after)).empty());
}

TEST_CASE("comments inside a path move no boundary", "[grade]") {
    int commented = 0;
    for (std::uint64_t seed = 0; seed < 150; ++seed) {
        INFO("seed " << seed);
        sheets::Style style = sheets::style_from_seed(seed);
        style.line_numbers = style.lower_case = style.no_blanks = style.modal = style.crlf = false;
        style.comments = sheets::Comments::none;
        style = sheets::sane(style);
        support::PlanShape shape = support::plan_shape_from_seed(seed);
        shape.order = false;  // by which strokes, not paths, may change places
        shape.extra = "[split]\nshortest = 1.5\n";
        const plan::Plan plan = support::plan_for(style, shape);
        sheets::Random random(seed);
        const std::string plain = sheets::make_sheet(style);
        const std::string talks = with_comments(plain, random);
        if (talks.size() == plain.size()) continue;
        const std::string without = support::graded(plan, plain);
        const std::string with = support::graded(plan, talks);
        CHECK(strangers(ends_of(with), ends_of(without)) == 0);
        CHECK(strangers(ends_of(without), ends_of(with)) == 0);
        const check::Verdict verdict = check_tests::judge(plan, talks, with);
        INFO(check_tests::story(verdict));
        CHECK(check_tests::fallen(verdict).empty());
        ++commented;
    }
    CHECK(commented > 60);
}

// Products of fields have no bound on how fast they change.
TEST_CASE("of a zone that is looked for in steps alone the report tells the step", "[grade]") {
    const auto told = [](const std::string& where) {
        grade::Figures figures;
        support::graded(plan_of({where, "true"}), pad_of(0.2, 2, 0), figures);
        std::vector<std::string> texts;
        for (const Diagnostic& warning : figures.warnings)
            if (warning.code == "sampled-zone") texts.push_back(warning.text);
        return texts;
    };
    for (const char* where :
         {"x * y < 3", "sqrt(abs(x)) < 1.5 and y < 2", "1 / (x * x + 1) > 0.2"}) {
        CAPTURE(where);
        REQUIRE(told(where).size() == 1);
        CHECK(told(where)[0].find("every 0.1 mm") != std::string::npos);
        CHECK(told(where)[0].find("`0`") != std::string::npos);
    }
    for (const char* where : {"hypot(x, y) < 3", "2 * x - y / 3 < 1", "abs(x) < 2 or layer < 1"}) {
        CAPTURE(where);
        CHECK(told(where).empty());
    }
}

}  // namespace durograde
