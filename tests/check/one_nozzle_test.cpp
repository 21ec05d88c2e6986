#include <fmt/format.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <vector>

#include "grade/swaps.hpp"
#include "grading.hpp"
#include "pair.hpp"
#include "plan/load.hpp"
#include "random.hpp"
#include "replay.hpp"
#include "sheet.hpp"
#include "sheet_case.hpp"

/// A machine with one nozzle: the zones of a part are printed by one tool at several temperatures.
namespace durograde::check_tests {
namespace {

using support::Bead;

/// Around each part's axis 190, then 220, then 250 °C, and more filament the colder.
plan::Plan one_nozzle(const sheets::Style& style, bool at_spot) {
    std::string text =
        "format = 1\n[machine]\nreach = { x = [-5, 430], y = [-5, 390], z = [0, 340] }\n"
        "hottest = 290\n[machine.write]\nset = \"M104 S{temperature}\"\n"
        "wait = \"M109 R{temperature}\"\n[[tool]]\nnumber = 0\ntemperature = 220\n"
        "heater = { rise = 4.0, loss = 0.01, ambient = 25 }\n"
        "retract = { length = 1, speed = 35, restart = 0.0, restart_speed = 25 }\nhop = 0.4\n";
    if (at_spot) text += "prime = { where = \"spot\", x = 5, y = 370, length = 0.8 }\n";
    text +=
        "[material]\nname = \"trial roll\"\nprice = 70\n"
        "[[material.point]]\ntemperature = 190\nflow = 1.0\ndensity = 1.2\nhardness = 92\n"
        "[[material.point]]\ntemperature = 250\nflow = 0.6\ndensity = 0.7\nhardness = 62\n"
        "[[shape]]\nname = \"tongue\"\n"
        "capsule = { from = [0, 0, -5], to = [0, 0, 40], radius = 1 }\n"
        "[[zone]]\nname = \"grip\"\nwhere = \"distance(tongue) <= 2.4123\"\ntool = 0\n"
        "temperature = 190\n"
        "[[zone]]\nname = \"blend\"\nwhere = \"distance(tongue) <= 5.0123\"\ntool = 0\n"
        "[[zone]]\nname = \"pad\"\nwhere = \"true\"\ntool = 0\ntemperature = 250\n"
        "[sheet]\noutside = 0\nplace = [\n";
    for (const sheets::Place& place : sheets::places(style)) {
        text += fmt::format("{{ x = {}, y = {}, turn = {} }},\n", place.x_mm, place.y_mm,
                            place.turn_deg);
    }
    return plan::load_text(text + "]\n[heat]\nhorizon = 300\nidle = 10\n", "one-nozzle.toml");
}

/// One tool, whole layers that may be printed in any order.
sheets::Style plain_style(std::uint64_t seed) {
    sheets::Style style = sheets::style_from_seed(seed);
    style.tools = 1;
    style.pins_per_mille = 0;
    style.spiral = style.line_numbers = false;
    style.layers = std::min(style.layers, 4);
    return sheets::sane(style);
}

struct Printed {
    long changes = 0, fewest = 0;
};

/// How often the temperature changes between beads, and how often it must at least if each layer
/// visits each of its temperatures once.
Printed changes_of(const std::vector<Bead>& beads) {
    Printed printed;
    std::optional<grade::FewestSwaps> fewest;
    std::vector<int> layer;
    double z_mm = -1, set_c = 0;
    for (const Bead& bead : beads) {
        if (bead.priming) continue;
        const int celsius = static_cast<int>(bead.set_point_c);
        if (!fewest) fewest.emplace(celsius);
        if (bead.z1 != z_mm) fewest->add_layer(layer);
        if (bead.z1 != z_mm) layer.clear();
        if (std::find(layer.begin(), layer.end(), celsius) == layer.end()) layer.push_back(celsius);
        if (set_c > 0 && set_c != celsius) ++printed.changes;
        z_mm = bead.z1;
        set_c = celsius;
    }
    fewest->add_layer(layer);
    printed.fewest = fewest->fewest();
    return printed;
}

/// With one of its visits at the next visit's temperature; nothing where it has less than two.
std::string with_wrong_visit(const std::string& program, sheets::Random& random) {
    std::vector<std::string> lines = lines_of(program);
    std::vector<std::size_t> waits;
    for (std::size_t i = 1; i < lines.size(); ++i) {
        if (lines[i].starts_with("M109 R")) waits.push_back(i);
    }
    if (waits.size() < 3) return {};
    const std::size_t which = 1 + random.next() % (waits.size() - 2);
    const std::string wrong = lines[waits[which + 1]].substr(6);
    lines[waits[which]] = "M109 R" + wrong;
    lines[waits[which] - 1] = "M104 S" + wrong;
    std::string text;
    for (const std::string& line : lines) text += line;
    return text;
}

}  // namespace

TEST_CASE("check: zones of one tool are each printed at their own temperature, in few changes") {
    long changes = 0, fewest = 0;
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        const sheets::Style style = plain_style(seed);
        const plan::Plan plan = one_nozzle(style, seed % 2 == 0);
        const std::string before = sheets::make_sheet(style);
        grade::Figures figures;
        const std::string after = support::graded(plan, before, figures);
        const check::Verdict verdict = judge(plan, before, after);
        INFO("seed " << seed << "\n" << story(verdict));
        CHECK(verdict.held());
        CHECK(figures.swaps == 0);
        const support::Replay replay = support::replay(after);
        for (const Bead& bead : replay.beads) {
            if (bead.priming) continue;
            const bool is_asked =
                bead.set_point_c == 190 || bead.set_point_c == 220 || bead.set_point_c == 250;
            if (!is_asked) FAIL_CHECK("line " << bead.line << " at " << bead.set_point_c);
        }
        const Printed printed = changes_of(replay.beads);
        // A setting that is made for the first time parts the first layer in two.
        CHECK((printed.changes >= printed.fewest && printed.changes <= printed.fewest + 1));
        changes += printed.changes;
        fewest += printed.fewest;
        // The first wait of all may be for what the input was printed at.
        CHECK(figures.temperature_changes - printed.changes <= 1);
    }
    CHECK(fewest > 900);
    CHECK(changes < fewest + 20);
}

TEST_CASE("check: a visit at another temperature that the part has is caught") {
    int tried = 0, caught = 0;
    std::string missed;
    for (std::uint64_t seed = 0; seed < 100; ++seed) {
        sheets::Random random(seed);
        const sheets::Style style = plain_style(seed);
        const plan::Plan plan = one_nozzle(style, false);
        const std::string before = sheets::make_sheet(style);
        const std::string wrong = with_wrong_visit(support::graded(plan, before), random);
        if (wrong.empty()) continue;
        ++tried;
        const check::Verdict verdict = judge(plan, before, wrong);
        if (!finding(verdict, "right heat").held) {
            ++caught;
        } else {
            missed += fmt::format("seed {}: {}\n", seed, story(verdict));
        }
    }
    INFO(missed);
    CHECK(tried > 60);
    CHECK(caught == tried);
}

}  // namespace durograde::check_tests
