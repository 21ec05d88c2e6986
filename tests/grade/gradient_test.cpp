#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "grading.hpp"
#include "hardness_pads.hpp"
#include "plan/load.hpp"
#include "replay.hpp"
#include "sample_plan.hpp"
#include "text/diagnostic.hpp"

/// A hardness that changes from place to place, followed in steps.
namespace durograde {
namespace {

using namespace hardness_tests;
using plan_test::fault;
using plan_test::replaced;

std::string gradient(const std::string& text, const std::string& more = "") {
    return "[gradient]\nhardness = \"" + text + "\"\n" + more;
}

std::string ranges(int tools) {
    std::string text;
    for (int i = 0; i < tools; ++i) text += tool(i, "range = [190, 250]");
    return text;
}

const Diagnostic* find(const std::vector<Diagnostic>& list, const std::string& code) {
    for (const Diagnostic& one : list)
        if (one.code == code) return &one;
    return nullptr;
}

}  // namespace

// A ramp from 85 to 65 along 20 mm of pads that are alike along x. By hand: the best three steps
// are thirds, at 81.67, 75 and 68.33, root mean square error 20 / 3 / sqrt(12) = 1.925; Shore A is
// 92 - 0.5 (T - 190), so that whole degrees have 81.5 at 211, 75 at 224 and 68.5 at 237 °C, and the
// steps end half-way, at 78.25 and 71.75, which is where x is -3.25 and 3.25.
TEST_CASE("a ramp in three steps, by hand", "[gradient]") {
    const plan::Plan plan = plan::load_text(plan_text(ranges(3), gradient("75 - x")), "ramp.toml");
    grade::Figures figures;
    const std::string after = support::graded(plan, two_pads(), figures);
    CHECK(after.find("; durograde: gradient from 78.25 by T0 at 211\n"
                     "; durograde: gradient from 71.75 by T1 at 224\n"
                     "; durograde: gradient from 68.5 by T2 at 237\n") != std::string::npos);
    REQUIRE(figures.gradient);
    CHECK(figures.gradient->steps == 3);
    CHECK(figures.gradient->first_zone == 0);
    CHECK(figures.gradient->rms_shore_a == Approx(20 / 3.0 / std::sqrt(12)).epsilon(0.01));
    // 85 and 65 at the ends, less a quarter of a millimetre; 81.5 and 68.5 are given there.
    CHECK(figures.gradient->worst_shore_a == Approx(3.375).margin(0.13));
    CHECK(figures.gradient->asked_shore_a.low == Approx(65).margin(0.26));
    CHECK(figures.gradient->asked_shore_a.high == Approx(85).margin(0.26));
    const double all = 0.7 * plan.machine.filament_area_mm2() * 11 * 2 * 2;
    CHECK(figures.gradient->volume_mm3 == Approx(all).epsilon(1e-5));
    long seen = 0;
    double squares = 0.0, length = 0.0;
    for (const support::Bead& bead : support::replay(after).beads) {
        if (bead.priming) continue;
        const double center = bead.x0 < 60 ? 30 : 90;
        const double x = (bead.x0 + bead.x1) / 2 - center;
        const double wanted_c = x < -3.25 ? 211 : x < 3.25 ? 224 : 237;
        CHECK(bead.set_point_c == wanted_c);
        // An independent sampling of asked against given.
        for (int i = 0; i < 100; ++i) {
            const double at = bead.x0 + (bead.x1 - bead.x0) * (i + 0.5) / 100 - center;
            const double off = 92 - 0.5 * (bead.set_point_c - 190) - (75 - at);
            squares += off * off * std::abs(bead.x1 - bead.x0) / 100;
        }
        length += std::abs(bead.x1 - bead.x0);
        ++seen;
    }
    CHECK(seen == 3 * 11 * 2 * 2);
    CHECK(std::sqrt(squares / length) == Approx(figures.gradient->rms_shore_a).epsilon(0.01));
}

// Half of each pad is a zone that asks for 75, the other half follows the ramp: both share tools.
TEST_CASE("what no zone holds follows the gradient, and shares its tools", "[gradient]") {
    const std::string half = "[[zone]]\nname = \"grip\"\nwhere = \"x <= 0\"\nhardness = 75\n";
    grade::Figures figures;
    const std::string after = support::graded(
        plan::load_text(plan_text(ranges(2), half + gradient("75 - x")), "half.toml"), two_pads(),
        figures);
    REQUIRE(figures.gradient);
    CHECK(figures.gradient->first_zone == 1);
    const double all = 0.7 * plan::Machine{}.filament_area_mm2() * 11 * 2 * 2;
    CHECK(figures.gradient->volume_mm3 == Approx(all / 2).epsilon(0.03));
    CHECK(figures.zones[0].asked_shore_a == 75);
    // By hand: 75 with a weight of 10 and a ramp from 75 to 65 of the same. A step from 75 to m,
    // its mean with the zone (10 · 75 + ∫) / (10 + 75 - m); the next from m to 65 at its middle; m
    // is half-way between both: m = 71.34, at 74.51 and 68.17, whole degrees 225 and 238.
    std::set<double> celsius;
    for (const support::Bead& bead : support::replay(after).beads)
        if (!bead.priming) celsius.insert(bead.set_point_c);
    CHECK(celsius == std::set<double>{225, 238});
}

TEST_CASE("one hardness everywhere is a gradient of one step", "[gradient]") {
    grade::Figures figures;
    const std::string after = support::graded(
        plan::load_text(plan_text(ranges(2), gradient("75")), "flat.toml"), two_pads(), figures);
    CHECK(figures.gradient->steps == 1);
    CHECK(figures.gradient->rms_shore_a == Approx(0).margin(1e-9));
    CHECK(after.find("; durograde: gradient from 75 by T0 at 224\n") != std::string::npos);
}

// It asks for more than the material has on one side and for less on the other: the nearest there
// is.
TEST_CASE("a gradient beyond the card is given the nearest, and told by how much", "[gradient]") {
    grade::Figures figures;
    support::graded(plan::load_text(plan_text(ranges(1), gradient("77 - 3 * x")), "wide.toml"),
                    two_pads(), figures);
    CHECK(figures.gradient->asked_shore_a.high > 102);
    CHECK(figures.gradient->asked_shore_a.low < 49);
    CHECK(figures.gradient->worst_shore_a > 29);
}

TEST_CASE("a gradient whose slope has no bound is sampled, and said", "[gradient][advice]") {
    const auto warned = [](const std::string& text) {
        grade::Figures figures;
        support::graded(plan::load_text(plan_text(ranges(2), gradient(text)), "steep.toml"),
                        two_pads(), figures);
        return find(figures.warnings, "sampled-gradient") != nullptr;
    };
    CHECK(warned("77 - 0.1 * x * x"));
    CHECK_FALSE(warned("77 - 0.5 * abs(x)"));
    CHECK_FALSE(warned("clamp(92 - hypot(x, y), 62, 92)"));
}

TEST_CASE("a gradient that no bead meets is warned of", "[gradient][advice]") {
    const std::string all = "[[zone]]\nname = \"pad\"\nwhere = \"true\"\nhardness = 75\n";
    const plan::Plan plan =
        plan::load_text(plan_text(ranges(2), all + gradient("75 - x")), "none.toml");
    CHECK(find(plan.warnings, "unreachable-zone") != nullptr);
    grade::Figures figures;
    support::graded(plan, two_pads(), figures);
    const Diagnostic* found = find(figures.warnings, "empty-zone");
    REQUIRE(found != nullptr);
    CHECK(found->text.find("gradient 1") != std::string::npos);
    CHECK(figures.gradient->volume_mm3 == 0);
}

TEST_CASE("what cannot be followed as a gradient is told at its place", "[gradient][plan]") {
    const auto refused = [](const std::string& of, const char* code) {
        return fault(plan_text(ranges(2), of), code);
    };
    const Diagnostic mixed = refused(gradient("75 - x", "by = \"mixed\"\n"), "not-yet");
    CHECK(mixed.text.find("by = \"mixed\"") != std::string::npos);
    CHECK(mixed.mend == "write by = \"steps\"");
    const Diagnostic word = refused(gradient("75", "by = \"bands\"\n"), "unknown-word");
    CHECK(word.mend.find("mixed") == std::string::npos);
    refused("[gradient]\n", "missing-key");
    refused("[gradient]\nhardness = 75\n", "wrong-type");
    refused(gradient(""), "bad-condition");
    refused(gradient("75 -"), "bad-condition");
    refused(gradient("x < 3"), "bad-condition");
    refused(gradient("true"), "bad-condition");
    refused(gradient("75) <= 0 or (x"), "bad-condition");
    refused(gradient("1) < 0 and (x"), "bad-condition");
    const Diagnostic shape = refused(gradient("75 - distance(tonge)"), "unknown-shape");
    CHECK(shape.source_line == "hardness = \"75 - distance(tonge)\"");
    CHECK(shape.place.column == 27);
    const Diagnostic typo = refused(gradient("75 - ehight"), "bad-condition");
    CHECK(typo.place.column == 18);
    const std::string text = plan_text(ranges(2), gradient("75 - x"));
    fault(replaced(text, card, ""), "no-hardness");
    fault(replaced(text, "hardness = 62", "hardness = 92"), "twice-as-hard");
    CHECK_NOTHROW(plan::load_text(text, "ramp.toml"));
}

}  // namespace durograde
