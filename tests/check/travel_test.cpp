#include "two_pads.hpp"

/// Balanced, and protected.
namespace durograde::check_tests {

using Names = std::vector<std::string>;

TEST_CASE("check: nothing is extruded while retracted") {
    CHECK(falls("G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n", "G1 X90.014 Y45.000 F9000\n") ==
          Names{"balanced"});
    CHECK(falls("G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n",
                "G1 X90.014 Y45.000 F9000\nG1 E1.4 F1500\n") == Names{"balanced"});
    CHECK(falls("G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n",
                "G1 X90.014 Y45.000 F9000\nG1 E1.6 F1500\n") == Names{"balanced"});
    // Retracted by the machine itself, and never restarted.
    CHECK(falls("G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n",
                "G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\nG10\n") == Names{"balanced"});
    CHECK(falls("G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n",
                "G1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\nG10\nG11\n") == Names{});
}

TEST_CASE("check: filament is counted for each tool") {
    // T0 comes back as it was put away, drawn back by 1.0.
    CHECK(falls("G1 E1.00000 F1500\nM204 S1200\nM486 S-1\n", "M204 S1200\nM486 S-1\n") ==
          Names{"balanced"});
    CHECK(falls("G1 E1.00000 F1500\nM204 S1200\nM486 S-1\n",
                "G1 E1.50000 F1500\nM204 S1200\nM486 S-1\n") == Names{"balanced"});
}

TEST_CASE("check: a travel through open air is retracted and wiped") {
    const std::string_view way =
        "G1 E-1.50000 F2100\nG1 X52.014 F7200\nG1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n";
    const check::Verdict bare = judge_after(with(good_after(), way, "G1 X90.014 Y45.000 F9000\n"));
    CHECK(fallen(bare) == Names{"protected"});
    // From one rim to the other.
    CHECK(finding(bare, "protected").worst > 18.0);
    CHECK(finding(bare, "protected").worst < 32.0);
    CHECK(falls("G1 E-1.50000 F2100\nG1 X52.014 F7200\nG1 X90.014 Y45.000 F9000\n",
                "G1 E-1.50000 F2100\nG1 X90.014 Y45.000 F9000\n") == Names{"protected"});
    // Half the wipe, and a wipe beside the bead, are none.
    CHECK(falls("G1 X52.014 F7200\n", "G1 X51.014 F7200\n") == Names{"protected"});
    CHECK(falls("G1 X52.014 F7200\n", "G1 X52.014 Y53 F7200\n") == Names{"protected"});
    // Retracted only when the gap is half crossed.
    CHECK(falls(way,
                "G1 X75 Y50 F9000\nG1 E-1.50000 F2100\nG1 X90.014 Y45.000 F9000\nG1 E1.50000 "
                "F1500\n") == Names{"protected"});
}

TEST_CASE("check: without [strings] only swaps are protected") {
    const std::string text = without(std::string(two_pads_plan), "[strings]\ngap = 2.0\n");
    const plan::Plan plan = plan::load_text(text, "no-strings.toml");
    const std::string bare =
        with(good_after(),
             "G1 E-1.50000 F2100\nG1 X52.014 F7200\nG1 X90.014 Y45.000 F9000\nG1 E1.50000 F1500\n",
             "G1 X90.014 Y45.000 F9000\n");
    CHECK(fallen(judge(plan, two_pads_before, bare)) == Names{});
    const std::string swap =
        with(bare, "G1 E-1.00000 F2100\nG1 X88.514 F7200\nM104 T0 S150\n", "M104 T0 S150\n");
    CHECK(fallen(judge(plan, two_pads_before,
                       with(swap, "G1 E1.00000 F1500\nM204 S1200\nM486 S-1\n",
                            "M204 S1200\nM486 S-1\n"))) == Names{"protected"});
}

TEST_CASE("check: a swap is wiped, and the last travel retracted") {
    CHECK(falls("G1 X88.514 F7200\nM104 T0 S150\n", "M104 T0 S150\n") == Names{"protected"});
    CHECK(falls("G1 E-1.00000 F2100\nG1 X88.514 F7200\nM104 T0 S0\n", "M104 T0 S0\n") ==
          Names{"protected"});
}

TEST_CASE("check: a travel over beads, and one shorter than the gap, needs no protection") {
    // Along the rim that is printed already, 10 mm back.
    const std::string_view end =
        "G1 X92.014 F7200\nG1 X80.000 Y45.000 F9000\nG1 E1.50000 F1500\nG1 F600\n";
    CHECK(
        falls(end,
              "G1 X92.014 F7200\nG1 X90.014\nG1 E1.50000 F1500\nG1 X80 F9000\nG1 Y45\nG1 F600\n") ==
        Names{});
    // 0.9 mm off the rim and back; 2 mm.
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X60.9 Y45\nG1 X60 Y45\nG1 X60 Y55 E0.35000\n") ==
          Names{});
    CHECK(falls("G1 X60 Y55 E0.35000\n", "G1 X62 Y45\nG1 X60 Y45\nG1 X60 Y55 E0.35000\n") ==
          Names{"protected"});
}

TEST_CASE("check: what the input itself did on its way may stand") {
    // The second pad's rim in one piece, by the input's own lines: retracted, not wiped.
    std::string text =
        without(std::string(two_pads_plan), "wipe = { length = 1.5, speed = 120 }\n");
    text = with(text, "where = \"x <= 0.0137\"\ntool = 0", "where = \"x <= 900\"\ntool = 0");
    const plan::Plan plan = plan::load_text(text, "one-tool.toml");
    std::string after(two_pads_before);
    after = with(after, "; two pads\n", "; graded by durograde 0.1\n; two pads\n");
    // From the line beside the pads: retracted anew.
    after = with(after, "G1 X40 Y45 F9000\n", "G1 E-1 F2100\nG1 X40 Y45 F9000\nG1 E1 F2100\n");
    const check::Verdict kept = judge(plan, two_pads_before, after);
    INFO(story(kept));
    CHECK(kept.held());
    // A tool that wipes does so on every way over open air, whoever has drawn back before it.
    const plan::Plan wipes = plan::load_text(
        with(text, "fan = [0.2, 0.8]", "wipe = { length = 1.5, speed = 120 }\nfan = [0.2, 0.8]"),
        "wipes.toml");
    CHECK(fallen(judge(wipes, two_pads_before, after)) == Names{"protected"});
    after = with(after, "G1 E-1 F2100\nG1 X80 Y45 F9000\nG1 E1 F2100\n", "G1 X80 Y45 F9000\n");
    CHECK(fallen(judge(plan, two_pads_before, after)) == Names{"protected"});
}

}  // namespace durograde::check_tests
