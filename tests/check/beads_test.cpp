#include "two_pads.hpp"

/// Same beads, right tool, right amount: a good output, and what falls when one thing in it is
/// wrong.
namespace durograde::check_tests {

using Names = std::vector<std::string>;

TEST_CASE("check: a good output holds in all twelve") {
    const check::Verdict verdict = judge_after(good_after());
    INFO(story(verdict));
    CHECK(verdict.held());
    REQUIRE(verdict.findings.size() == 12);
    const Names names = {
        "same beads", "right tool", "right amount",  "right heat", "quiet when idle",
        "balanced",   "protected",  "settings kept", "in reach",   "nothing asked, nothing done"};
    for (std::size_t i = 0; i < names.size(); ++i) {
        CHECK(verdict.findings[i].name == names[i]);
        CHECK(verdict.findings[i].held);
        CHECK(verdict.findings[i].failures == 0);
        CHECK_FALSE(verdict.findings[i].unit.empty());
    }
}

TEST_CASE("check: deviations that are allowed are measured") {
    const check::Verdict verdict = judge_after(good_after());
    // Cuts at 50.014 in place of 50.0137, and filament rounded to five decimals.
    CHECK(finding(verdict, "right tool").worst > 2e-4);
    CHECK(finding(verdict, "right tool").worst < 4e-4);
    CHECK(finding(verdict, "right amount").worst > 1e-6);
    CHECK(finding(verdict, "right amount").worst < 3e-5);
}

TEST_CASE("check: a bead that is missing, doubled, moved or turned falls") {
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60 Y55\n") == Names{"same beads"});
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60 Y55 E0.35000\nG1 Y45\nG1 Y55 E0.35000\n") ==
          Names{"same beads"});
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60.05 Y55 E0.35000\n") == Names{"same beads"});
    // The next layer's first stroke 50 µm too high.
    CHECK(falls("G1 Z0.400 F720\n", "G1 Z0.450 F720\n").front() == "same beads");
    // Right place, wrong direction.
    CHECK(falls("G1 X60 Y55 E0.35000\nG1 X50.014 Y55.000 E0.34953\n",
                "G1 X60 Y55\nG1 Y45 E0.35000\nG1 Y55\nG1 X50.014 Y55.000 E0.34953\n")
              .front() == "same beads");
}

TEST_CASE("check: a finding points at both lines and says how far") {
    const check::Verdict verdict =
        judge_after(with(good_after(), "G1 X60 Y55 E0.35000\n", "G1 X60 Y55\n"));
    // Missed when the next layer begins.
    const std::uint64_t line = line_of(two_pads_after, "M204 S1200") + 2;
    const check::Finding& beads = finding(verdict, "same beads");
    REQUIRE(beads.first.size() == 1);
    CHECK(beads.failures == 1);
    CHECK(beads.first[0].input_line == 16);
    CHECK(beads.first[0].output_line == line);
    CHECK(beads.worst == Approx(10.0));
    CHECK(beads.unit == "mm");
}

TEST_CASE("check: cuts that leave a gap or overlap fall") {
    // One piece ends 0.02 mm early.
    CHECK(falls("G1 X50.014 Y55.000 E0.34953\nG1 E-1.50000 F2100\nG1 X52.014",
                "G1 X50.034 Y55.000 E0.34883\nG1 E-1.50000 F2100\nG1 X52.034") ==
          Names{"same beads"});
    CHECK(falls("G1 X50.014 Y55.000 E0.34953\nG1 E-1.50000 F2100\nG1 X52.014",
                "G1 X49.994 Y55.000 E0.35023\nG1 E-1.50000 F2100\nG1 X51.994") ==
          Names{"same beads"});
}

TEST_CASE("check: a prime is as long as the plan says, and where the bead begins") {
    CHECK(falls("G1 E0.50000 F1500\n", "G1 E0.60000 F1500\n") == Names{"same beads"});
    CHECK(falls("; durograde: prime begins\nG1 E0.50000 F1500\n",
                "; durograde: prime begins\nG1 Y46\nG1 E0.50000 F1500\nG1 Y45\n") ==
          Names{"same beads"});
    // Not declared: it is filament that nobody asked for.
    CHECK(falls("; durograde: prime begins\n", "") == Names{"same beads", "balanced"});
    CHECK(falls("; durograde: prime ends\n", "").front() == "same beads");
}

TEST_CASE("check: a tool is primed once a swap") {
    const std::string_view way = "G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n";
    const std::string prime = "; durograde: prime begins\nG1 E0.5\n; durograde: prime ends\n";
    CHECK(falls(way, std::string(way) + prime) == Names{"same beads"});
    CHECK(falls("G1 E0.50000 F1500\n; durograde: prime ends\n",
                "G1 E0.50000 F1500\n; durograde: prime ends\n" + prime) == Names{"same beads"});
}

TEST_CASE("check: a piece printed with another tool falls by how far it reaches into the zone") {
    // The boundary moves by 0.3 mm under an output that stays as it is.
    const plan::Plan plan = plan::load_text(
        with(std::string(two_pads_plan), "x <= 0.0137", "x <= 0.3137"), "moved.toml");
    const check::Verdict verdict = judge(plan, two_pads_before, two_pads_after);
    CHECK(fallen(verdict) == Names{"right tool"});
    CHECK(finding(verdict, "right tool").worst == Approx(0.3).margin(0.01));
    CHECK(finding(verdict, "right tool").failures == 8);
}

TEST_CASE("check: what is too short to stand alone may join its neighbour") {
    // A strip 0.7 mm wide is asked for and was not cut out: shorter than `shortest`. One of 0.9 mm
    // is not.
    const std::string_view strip = "[[zone]]\nname = \"grip\"\nwhere = \"x <= 0.0137\"\n";
    const auto judge_strip = [&](const char* condition) {
        const std::string zones = "[[zone]]\nname = \"strip\"\nwhere = \"" +
                                  std::string(condition) + "\"\ntool = 1\n" + std::string(strip);
        const plan::Plan plan =
            plan::load_text(with(std::string(two_pads_plan), strip, zones), "strip.toml");
        return fallen(judge(plan, two_pads_before, two_pads_after));
    };
    CHECK(judge_strip("x > -5.0 and x < -4.3") == Names{});
    CHECK(judge_strip("x > -5.0 and x < -4.1") == Names{"right tool"});
}

TEST_CASE("check: a place where no zone holds falls") {
    std::string text(two_pads_plan);
    text = with(std::move(text), "where = \"true\"", "where = \"x < 9\"");
    const check::Verdict verdict =
        judge(plan::load_text(text, "gap.toml"), two_pads_before, two_pads_after);
    CHECK(fallen(verdict).front() == "right tool");
}

TEST_CASE("check: filament is the input's times the flow of the temperature") {
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60 Y55 E0.35002\n") == Names{"right amount"});
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60 Y55 E0.50000\n") == Names{"right amount"});
    CHECK(falls("G1 X40 Y45 E0.5\n", "G1 X40 Y45 E0.35\n") == Names{"right amount"});
    // One unit of the last decimal is rounding.
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60 Y55 E0.35001\n") == Names{});
}

TEST_CASE("check: a place without a part, and one part at two places, is refused") {
    const auto refusal = [](const char* place) {
        std::string text = with(std::string(two_pads_plan), "{ x = 90, y = 50, turn = 0 }", place);
        try {
            judge(plan::load_text(text, "places.toml"), two_pads_before, two_pads_after);
        } catch (const Failure& failure) {
            CHECK(failure.exit() == Exit::bad_input);
            return failure.diagnostics().front().code;
        }
        return std::string("none");
    };
    CHECK(refusal("{ x = 150, y = 150, turn = 0 }") == "no-part");
    CHECK(refusal("{ x = 50, y = 51, turn = 0 }") == "parts-touch");
}

TEST_CASE("check: a line of the input that cannot be read is refused, with its place") {
    const std::string before =
        with(std::string(two_pads_before), "G1 X60 Y55 E0.5", "G1 X60 Y--5 E0.5");
    try {
        judge(two_pads(), before, two_pads_after);
        FAIL("was not refused");
    } catch (const Failure& failure) {
        CHECK(failure.exit() == Exit::bad_input);
        CHECK(failure.diagnostics().front().place.line == 16);
        CHECK(failure.diagnostics().front().place.column == 9);
    }
}

}  // namespace durograde::check_tests
