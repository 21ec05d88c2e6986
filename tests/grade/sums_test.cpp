#include <catch2/catch.hpp>
#include <numeric>

#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "sheet.hpp"

/// What a report tells adds up: time, filament and lines, over generated sheets and plans.
namespace durograde {
namespace {

using grade::Figures;
using grade::ToolFigures;
using grade::ZoneFigures;

std::vector<ZoneFigures> printed_zones(const Figures& f) {
    std::vector<ZoneFigures> zones = f.zones;
    zones.push_back(f.outside);
    return zones;
}

template <typename List, typename Of>
double sum(const List& list, Of of) {
    return std::accumulate(list.begin(), list.end(), 0.0,
                           [&](double all, const auto& entry) { return all + of(entry); });
}

std::uint64_t lines_of(const std::array<std::uint64_t, grade::reason_count>& list) {
    return std::accumulate(list.begin(), list.end(), std::uint64_t{0});
}

void check_time(const Figures& f) {
    CHECK(f.printing_s + f.travel_s + f.swaps_s + f.waiting_s + f.priming_s +
              f.start_and_end.printing_s ==
          Approx(f.after_s));
    CHECK(f.travel_s >= 0);
    const double zones_s =
        sum(printed_zones(f), [](const ZoneFigures& zone) { return zone.printing_s; });
    CHECK(zones_s + f.block.printing_s == Approx(f.printing_s));
    CHECK(sum(f.tools, [](const auto& tool) { return tool.second.printing_s; }) ==
          Approx(f.printing_s));
    for (const ZoneFigures& zone : printed_zones(f)) {
        INFO(zone.name << ": " << zone.length_mm << " mm in " << zone.printing_s << " s");
        CHECK((zone.length_mm > 0.01) == (zone.printing_s > 0));
    }
}

void check_filament(const Figures& f, double area_mm2) {
    const double zones_mm =
        sum(printed_zones(f), [](const ZoneFigures& zone) { return zone.filament_mm; });
    const double other_mm3 =
        f.prime_mm3 + f.block_mm3 + f.restart_mm3 + f.refill_mm3 + f.swap_lines_mm3;
    CHECK(zones_mm + f.start_and_end.filament_mm + other_mm3 / area_mm2 ==
          Approx(sum(f.tools, [](const auto& tool) { return tool.second.filament_mm; })));
    CHECK(sum(f.zones, [](const ZoneFigures& zone) { return zone.mass_g; }) ==
          Approx(sum(f.parts, [](const auto& part) { return part.mass_g; })));
}

void check_lines(const Figures& f) {
    const std::uint64_t changed = f.edits.copied + lines_of(f.edits.rewritten);
    CHECK(changed + lines_of(f.edits.removed) == f.input_lines);
    CHECK(changed + lines_of(f.edits.inserted) == f.output_lines);
}

Figures figures_of(const plan::Plan& plan, const std::string& program) {
    Figures figures;
    support::graded(plan, program, figures);
    return figures;
}

const char* const two_pads =
    "; sheet\nM104 S200\nG28\nG21\nG90\nM83\nG1 X5 Y5 Z.2 F6000\nG1 X60 E3 F900\nG1 E-1 F2000\n";

}  // namespace

TEST_CASE("time, filament and lines add up", "[figures]") {
    for (std::uint64_t seed = 1; seed <= 80; ++seed) {
        const sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
        const plan::Plan plan = support::plan_for(style, support::plan_shape_from_seed(seed));
        const Figures f = figures_of(plan, sheets::make_sheet(style));
        INFO("seed " << seed);
        check_time(f);
        check_filament(f, plan.machine.filament_area_mm2());
        check_lines(f);
        if (!plan.strings) CHECK(f.protected_travels == 0);
        if (f.protected_travels > 0) CHECK(f.retractions_after() > 0);
    }
}

TEST_CASE("they add up with coasting, primes that refill and restarts that push more",
          "[figures]") {
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        const sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
        std::string text = support::plan_text(style, {});
        for (std::size_t at = 0; (at = text.find("restart = 0.0", at)) != std::string::npos; ++at)
            text.replace(at, 13, "restart = 0.1");
        const std::string more =
            "coast = 0.05\nprime = { where = \"start\", length = 0.4, refill = true }\n";
        for (std::size_t at = 0; (at = text.find("wipe = {", at)) != std::string::npos;
             at += more.size() + 1)
            text.insert(at, more);
        const plan::Plan plan = plan::load_text(text, "pads.toml");
        const Figures f = figures_of(plan, sheets::make_sheet(style));
        INFO("seed " << seed);
        check_time(f);
        check_filament(f, plan.machine.filament_area_mm2());
        check_lines(f);
        CHECK(f.restart_mm3 > 0);
    }
}

TEST_CASE("a purge line and a purge on the spot are start and end, and no travel", "[figures]") {
    std::string program = two_pads;
    const std::string pad =
        "G1 X20 Y50 F9000\nG1 Z.2 F600\nG1 E1 F2000\nG1 X40 E1 F1200\nG1 Y50.4\nG1 X20 E1\n"
        "G1 E-1 F2000\n";
    program += pad + "G1 Z.4 F600\n" + pad + "G1 X5 Y5 F9000\nG1 E6 F60\nG4 P5000\nM104 S0\n";
    const plan::Plan plan = plan::load_text(
        support::two_tools_text("", "",
                                std::string(support::halves_text) +
                                    "[sheet]\noutside = \"keep\"\nplace = [{ x = 30, y = 50 }]\n"),
        "pads.toml");
    const Figures f = figures_of(plan, program);
    check_time(f);
    check_filament(f, plan.machine.filament_area_mm2());
    check_lines(f);
    // 55 mm along with 3 mm of filament at the begin; at the end 6 mm, less the 1 mm drawn back.
    CHECK(f.start_and_end.length_mm == Approx(55));
    CHECK(f.start_and_end.filament_mm == Approx(3 + 5));
    CHECK(f.start_and_end.printing_s >
          55 / 15.0 + 6 / 1.0 + 5);  // at 900 and 60 mm/min, and a rest
}

TEST_CASE("beads that run along a boundary count in the zone that they are printed for",
          "[figures]") {
    // To and fro across the part's middle, each stretch too short to stand alone.
    std::string rows = "G1 X20 Y50 F9000\nG1 E1 F2000\n";
    for (int i = 1; i <= 40; ++i)
        rows += "G1 X" + std::to_string(20 + i * 0.5) + " Y" + (i % 2 == 0 ? "49.95" : "50.05") +
                " E.03 F1200\n";
    rows += "G1 X20 Y50.4 E1\nG1 X40 Y50.8 E1\nG1 E-1 F2000\n";
    const std::string program =
        two_pads + ("G1 Z.2 F600\n" + rows) + ("G1 Z.4 F600\n" + rows) + "M104 S0\n";
    const plan::Plan plan = plan::load_text(
        support::two_tools_text(
            "", "",
            "[[zone]]\nname = \"near\"\nwhere = \"y < 0\"\ntool = 0\n[[zone]]\nname = \"far\"\n"
            "where = \"true\"\ntool = 1\n[sheet]\noutside = \"keep\"\n"
            "place = [{ x = 30, y = 50 }]\n"),
        "pads.toml");
    const Figures f = figures_of(plan, program);
    check_time(f);
    check_filament(f, plan.machine.filament_area_mm2());
    // Only this zone is printed with tool 1, and all of it.
    CHECK(f.zones[1].filament_mm > 0);
    CHECK(f.zones[1].filament_mm == Approx(f.tools.at(1).filament_mm));
    CHECK(f.zones[0].length_mm + f.zones[1].length_mm ==
          Approx(2 * (20.5 + 20.0 + 20.0)).epsilon(0.03));
}

// By hand: 44 beads of 0.7 mm of filament, half of each in a zone at 230 °C, where half as much
// filament is fed: 44 · 0.35 · (1 + 0.5) = 23.1 mm, of pi / 4 · 1.75² = 2.405282 mm², 55.56201 mm³;
// at 1.2 g/cm³ that is 66.67441 mg, and at 50 a kilogram 0.003333721.
TEST_CASE("a mass and a cost worked out by hand", "[figures]") {
    std::string program = "M104 S200\nG28\nG21\nG90\nM83\nG1 X5 Y5 Z5 F6000\n";
    for (const char* z : {"0.2", "0.4"}) {
        program += std::string("G1 Z") + z + " F600\n";
        for (int row = 0; row < 22; ++row)
            program += "G1 X20 Y" + std::to_string(48 + row * 0.4) + " F9000\nG1 X40 E0.7 F1200\n";
    }
    const plan::Plan plan = plan::load_text(
        support::two_tools_text(
            "", "",
            std::string(support::halves_text) +
                "[material]\nprice = 50\n[[material.point]]\ntemperature = 190\nflow = 1.0\n"
                "density = 1.2\n[[material.point]]\ntemperature = 230\nflow = 0.5\ndensity = 0.6\n"
                "[sheet]\noutside = \"keep\"\nplace = [{ x = 30, y = 52.2 }]\n"),
        "pads.toml");
    const Figures f = figures_of(plan, program + "M104 S0\n");
    CHECK(f.waste_mass_g == 0);
    CHECK(f.mass_g() == Approx(0.06667441).epsilon(1e-5));
    CHECK(f.cost() == Approx(0.003333721).epsilon(1e-5));
    CHECK(f.parts.at(0).mass_g == Approx(0.06667441).epsilon(1e-5));
    CHECK(f.zones[0].mass_g == Approx(2 * f.zones[1].mass_g).epsilon(1e-4));  // cuts are rounded
}

}  // namespace durograde
