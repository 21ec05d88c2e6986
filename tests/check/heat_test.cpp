#include "two_pads.hpp"

/// Right heat, and quiet when idle.
namespace durograde::check_tests {

using Names = std::vector<std::string>;

TEST_CASE("check: a bead is printed at its zone's set-point") {
    CHECK(falls("M109 T1 S230\n", "M109 T1 S220\n") == Names{"right heat"});
    CHECK(falls("M109 T1 S230\n", "M109 T1 S229\n") == Names{"right heat"});
    CHECK(falls("M109 T1 S230\n", "M109 T1 S230.0\n") == Names{});
    CHECK(finding(judge_after(with(good_after(), "M109 T1 S230\n", "M109 T1 S220\n")), "right heat")
              .worst == Approx(10.0));
}

TEST_CASE("check: heat may be set between the beads of a piece, but not the tool's that prints") {
    const std::string_view bead = "G1 X40 Y45 E0.5\n";
    std::string other = without(good_after(), "M104 T1 S230\n");
    other = with(other, bead, "G1 X40 Y45 E0.5\nM104 T1 S230\n");
    CHECK(fallen(judge_after(other)) == Names{});
    CHECK(falls(bead, "G1 X40 Y45 E0.5\nM104 T0 S200\n") == Names{"right heat"});
    CHECK(falls(bead, "G1 X40 Y45 E0.5\nM104 S180\n") == Names{"right heat"});
}

TEST_CASE("check: a tool that is not waited for must be hot by the model") {
    // T0 was left at 150 for some ten seconds: setting it anew does not make it hot at once.
    CHECK(falls("M104 T0 S190\nM109 T0 S190\n", "M104 T0 S190\n") == Names{"right heat"});
    // Set just before it is needed, T1 is cold in any time that the way can have taken.
    const std::string late =
        with(without(good_after(), "M104 T1 S230\n"), "M109 T1 S230\n", "M104 T1 S230\n");
    CHECK(fallen(judge_after(late)) == Names{"right heat"});
    // With a heater that is there in half a second, no wait is needed.
    const std::string fast = with(with(std::string(two_pads_plan), "rise = 4.0", "rise = 900.0"),
                                  "rise = 4.0", "rise = 900.0");
    CHECK(fallen(judge(plan::load_text(fast, "fast.toml"), two_pads_before, late)) == Names{});
}

TEST_CASE("check: neither above the hottest nor below the coldest") {
    CHECK(falls("M104 T1 S230\n", "M104 T1 S290\n") == Names{"right heat"});
    // Primed at 160, heated only then.
    const std::string cold =
        with(with(good_after(), "M109 T1 S230\n", "M109 T1 S160\n"), "; durograde: prime ends\n",
             "; durograde: prime ends\nM109 T1 S230\n");
    const check::Verdict verdict = judge_after(cold);
    CHECK(fallen(verdict) == Names{"right heat"});
    CHECK(finding(verdict, "right heat").worst == Approx(10.0));
}

TEST_CASE("check: heat commands in the plan's own words are understood") {
    std::string text = with(std::string(two_pads_plan), "[machine.write]\n",
                            "[machine.write]\nset = \"HEAT {tool} TO {temperature}\"\n"
                            "wait = \"AWAIT {tool} AT {temperature}\"\nselect = \"TAKE {to}\"\n");
    const plan::Plan plan = plan::load_text(text, "words.toml");
    std::string after = good_after();
    after = with(after, "M104 T1 S230\n", "HEAT 1 TO 230\n");
    after = with(after, "M104 T0 S150\n", "HEAT 0 TO 150\n");
    after = with(after, "\nT1\n", "\nTAKE 1\n");
    after = with(after, "M109 T1 S230\n", "AWAIT 1 AT 230\n");
    after = with(after, "M104 T1 S0\n", "HEAT 1 TO 0\n");
    after = with(after, "\nT0\n", "\nTAKE 0\n");
    after = with(after, "M104 T0 S190\nM109 T0 S190\n", "HEAT 0 TO 190\nAWAIT 0 AT 190\n");
    const check::Verdict verdict = judge(plan, two_pads_before, after);
    INFO(story(verdict));
    CHECK(verdict.held());
    const std::string lost = without(after, "AWAIT 0 AT 190\n");
    CHECK(fallen(judge(plan, two_pads_before, lost)) == Names{"right heat"});
    const std::string wrong = with(after, "AWAIT 1 AT 230\n", "AWAIT 1 AT 225\n");
    CHECK(fallen(judge(plan, two_pads_before, wrong)) == Names{"right heat"});
}

// T0 is put away for about 11 s of motion at the programmed feeds.
TEST_CASE("check: a tool idle for longer than allowed stands at standby") {
    const std::string hot = without(good_after(), "M104 T0 S150\n");
    const auto with_idle = [](const char* idle, const std::string& after) {
        // A heater that needs two seconds from standby: what it may stand hot beyond `idle` stays
        // small.
        std::string text = with(std::string(two_pads_plan), "rise = 4.0", "rise = 20.0");
        text = with(text, "idle = 5", idle);
        return fallen(judge(plan::load_text(text, "idle.toml"), two_pads_before, after));
    };
    CHECK(with_idle("idle = 5", hot) == Names{"quiet when idle"});
    CHECK(with_idle("idle = 25", hot) == Names{});
    const std::string warm = with(good_after(), "M104 T0 S150\n", "M104 T0 S151\n");
    CHECK(with_idle("idle = 5", warm) == Names{"quiet when idle"});
    CHECK(with_idle("idle = 5", good_after()) == Names{});
}

// T0 is put away for 11 s of motion and two swaps of 5 s, and may be asked for 3 s early: 18 s. It
// cools by some 1.6 K/s and is heated by some 2.4 K/s: after 11 s at 172 °C it must be heated
// again.
TEST_CASE("check: with standby auto an idle tool stands no hotter than it must") {
    const plan::Plan plan = plan::load_text(
        with(std::string(two_pads_plan), "standby = 150", "standby = \"auto\""), "auto.toml");
    const auto falls_at = [&](const std::string& celsius) {
        return fallen(judge(plan, two_pads_before,
                            with(good_after(), "M104 T0 S150\n", "M104 T0 S" + celsius + "\n")));
    };
    CHECK(falls_at("30") == Names{});
    CHECK(falls_at("172") == Names{});
    CHECK(falls_at("175") == Names{"quiet when idle"});
    CHECK(falls_at("190") == Names{"quiet when idle"});
    const check::Verdict verdict =
        judge(plan, two_pads_before, with(good_after(), "M104 T0 S150\n", "M104 T0 S175\n"));
    CHECK(finding(verdict, "quiet when idle").first.at(0).text ==
          "tool 0 stands idle at 175 °C, though 173 °C is hot enough to be ready in time");
    // As hot for no longer than an idle tool may be: 5 s.
    const std::string at_first =
        with(good_after(),
             "M104 T0 S150\n; durograde: swap begins\nM841 S0\nT1\nM842\n; durograde: swap ends\n",
             "; durograde: swap begins\nM841 S0\nT1\nM842\n; durograde: swap ends\nM104 T0 S150\n");
    CHECK(fallen(judge(plan, two_pads_before, at_first)) == Names{});
}

// T0 needs two seconds from standby. From the second layer on T1 prints for some three, from its
// first bead on for some nine.
TEST_CASE("check: a tool may be hot three seconds ahead of its use, whatever idle is") {
    std::string text = with(std::string(two_pads_plan), "rise = 4.0", "rise = 20.0");
    text = with(text, "rise = 4.0", "rise = 20.0");
    const plan::Plan plan = plan::load_text(with(text, "idle = 5", "idle = 0"), "at-once.toml");
    const auto falls_with_heat_at = [&](std::string_view place) {
        std::string after = with(good_after(), "M104 T0 S190\nM109 T0 S190", "M109 T0 S190");
        after = with(after, place, std::string(place) + "M104 T0 S190\n");
        return fallen(judge(plan, two_pads_before, after));
    };
    CHECK(falls_with_heat_at("M204 S1200\nM106 S127.5\n") == Names{});
    CHECK(falls_with_heat_at("; durograde: prime ends\n") == Names{"quiet when idle"});
}

TEST_CASE("check: without [heat] idle tools may stay hot, but not at the end") {
    const std::string text =
        without(std::string(two_pads_plan), "[heat]\nhorizon = 600\nidle = 5\n");
    const plan::Plan plan = plan::load_text(text, "no-heat.toml");
    std::string after = without(good_after(), "M104 T0 S150\n");
    CHECK(fallen(judge(plan, two_pads_before, after)) == Names{});
    CHECK(fallen(judge(plan, two_pads_before, without(after, "M104 T1 S0\n"))) ==
          Names{"quiet when idle"});
}

TEST_CASE("check: a tool that is needed no more goes off at once, and nothing is left hot") {
    // Off only at the end.
    const std::string late =
        with(without(good_after(), "M104 T1 S0\n"), "M104 T0 S0\n", "M104 T0 S0\nM104 T1 S0\n");
    const std::string strict = with(std::string(two_pads_plan), "idle = 5", "idle = 1");
    CHECK(fallen(judge(plan::load_text(strict, "strict.toml"), two_pads_before, late)) ==
          Names{"quiet when idle"});
    CHECK(fallen(judge_after(late)) == Names{});  // 3 s
    const std::string never = without(good_after(), "M104 T1 S0\n");
    CHECK(fallen(judge_after(never)) == Names{"quiet when idle"});
    std::string last = without(without(good_after(), "M104 T0 S0\n"), "M104 S0\n");
    last += "M104 T1 S0\n";
    CHECK(fallen(judge_after(last)) == Names{"quiet when idle"});
}

}  // namespace durograde::check_tests
