#include "line.hpp"
#include "two_pads.hpp"

/// Settings kept, in reach, and nothing asked, nothing done.
namespace durograde::check_tests {

using Names = std::vector<std::string>;

TEST_CASE("check: every piece has its fan, within the tool's range, said anew after a swap") {
    CHECK(falls("M106 S127.5\nG1 X60.000", "G1 X60.000") == Names{"settings kept"});
    CHECK(falls("M106 S127.5\nG1 X60.000", "M106 S137.5\nG1 X60.000") == Names{"settings kept"});
    CHECK(falls("M204 S800\nM107\nG1 X60.000", "M204 S800\nG1 X60.000") == Names{"settings kept"});
    // T0 goes no higher than 0.3 here: 76.5 of 255.
    const std::string text =
        with(std::string(two_pads_plan), "fan = [0.2, 0.8]", "fan = [0.2, 0.3]");
    const plan::Plan plan = plan::load_text(text, "fan.toml");
    CHECK(fallen(judge(plan, two_pads_before, two_pads_after)) == Names{"settings kept"});
    const std::string after =
        with(good_after(), "M486 S-1\nM106 S127.5\n", "M486 S-1\nM106 S76.5\n");
    CHECK(fallen(judge(plan, two_pads_before, after)) == Names{});
}

TEST_CASE("check: every piece has its accelerations and its label") {
    CHECK(falls("M204 S1200\n", "") == Names{"settings kept"});
    CHECK(falls("M204 S1200\n", "M204 S1200.0\n") == Names{});
    CHECK(falls("M204 S1200\n", "M204 S1100\n") == Names{"settings kept"});
    CHECK(falls("M204 S1200\n", "M204 S1200\nM220 S90\n") == Names{"settings kept"});
    CHECK(falls("M486 S-1\n", "") == Names{"settings kept"});
}

TEST_CASE("check: the feed is the input's, lowered only where the flow asks for it") {
    CHECK(falls("E0.34952 F1410\n", "E0.34952 F1800\n") == Names{"settings kept"});
    CHECK(falls("E0.34952 F1410\n", "E0.34952 F1200\n") == Names{"settings kept"});
    CHECK(falls("E0.34952 F600\n", "E0.34952 F540\n") == Names{"settings kept"});
    CHECK(falls("E0.50068 F600\n", "E0.50068 F660\n") == Names{"settings kept"});
}

TEST_CASE("check: a line that nothing may move across keeps its place") {
    CHECK(falls("M813 P2\n", "") == Names{"settings kept"});
    CHECK(falls("M813 P2\n", "M813 P2\nM813 P2\n") == Names{"settings kept"});
    CHECK(falls("M813 P2\n", "M813 P3\n") == Names{"settings kept"});
    CHECK(falls("G1 X100 Y55 E0.35000\nG1 X90.014", "M813 P7\nG1 X100 Y55 E0.35000\nG1 X90.014") ==
          Names{"settings kept"});
    // One bead slips past it.
    std::string late =
        without(good_after(), "G1 X80.000 Y45.000 F9000\nG1 E1.50000 F1500\nG1 F600\nM813 P2\n");
    late = with(late, "G1 X100 Y55 E0.35000\n",
                "G1 X100 Y55\nG1 X80 Y45\nG1 F600\nM813 P2\nG1 X100\nG1 Y55 E0.35000\n");
    const Names names = fallen(judge_after(late));
    CHECK(std::find(names.begin(), names.end(), "settings kept") != names.end());
}

TEST_CASE("check: beside such a line the output stands as the input did") {
    const std::string_view way = "G1 X80.000 Y45.000 F9000\nG1 E1.50000 F1500\nG1 F600\nM813 P2\n";
    CHECK(falls(way, "G1 X81.000 Y45.000 F9000\nG1 E1.50000 F1500\nG1 F600\nM813 P2\n") ==
          Names{"settings kept"});
    CHECK(falls(way, "G1 X80.000 Y45.000 F9000\nG1 E1.50000 F1500\nM813 P2\n") ==
          Names{"settings kept"});
    CHECK(
        falls(way,
              "G1 X80.000 Y45.000 F9000\nG1 E1.50000 F1500\nG1 F600\nM106 S20\nM813 P2\nM107\n") ==
        Names{"settings kept"});
    CHECK(falls(way, "G1 X80.000 Y45.000 F9000\nG1 E1.50000 F1500\nG1 F600\nM82\nM813 P2\nM83\n") ==
          Names{"settings kept"});
}

TEST_CASE("check: the program ends where the input does, and with the same settings") {
    CHECK(falls("G1 X10 Y190 F9000\nM104 S0\nM84\n", "G1 X10 Y190 F9000\nM104 S0\nM84\nG1 X12\n") ==
          Names{"settings kept"});
    CHECK(falls("M84\n", "M84\nM220 S50\n") == Names{"settings kept"});
    const std::string before = std::string(two_pads_before) + "M140 S0\nM107\n";
    const auto judge_end = [&](const char* end) {
        return fallen(judge(two_pads(), before, good_after() + end));
    };
    CHECK(judge_end("M140 S0\nM107\n") == Names{});
    CHECK(judge_end("M107\n") == Names{"settings kept"});
    CHECK(judge_end("M140 S0\n") == Names{"settings kept"});
}

TEST_CASE("check: a swap has the lines that the plan puts around it") {
    CHECK(falls("M841 S0\n", "") == Names{"settings kept"});
    CHECK(falls("M842\n", "") == Names{"settings kept"});
    // The same line elsewhere is none of the plan's own.
    CHECK(falls("G1 X60 Y55 E0.35000\n", "M841 S1\nG1 X60 Y55 E0.35000\n") ==
          Names{"settings kept"});
}

TEST_CASE("check: moves stay within the machine") {
    CHECK(falls("G1 X52.014 F7200\n", "G1 X52.014 Z201 F7200\nG1 Z0.2\n").back() == "in reach");
    CHECK(falls("G1 X10 Y190 F9000\n", "G1 X10 Y200.5 F9000\nG1 Y190\n") == Names{"in reach"});
    const check::Verdict verdict =
        judge_after(with(good_after(), "G1 X10 Y190 F9000\n", "G1 X-1.5 Y190 F9000\nG1 X10\n"));
    CHECK(finding(verdict, "in reach").worst == Approx(1.5));
    // An arc that ends within reach and bulges beyond it.
    CHECK(falls("G1 X10 Y190 F9000\n", "G1 X10 Y199 F9000\nG2 X12 Y199 I1 J0\nG1 X10 Y190\n") ==
          Names{});
    CHECK(falls("G1 X10 Y190 F9000\n", "G1 X10 Y199 F9000\nG2 X14 Y199 I2 J0\nG1 X10 Y190\n") ==
          Names{"in reach"});
}

TEST_CASE("check: what cannot be read or obeyed falls") {
    for (const char* line :
         {"G1 Xnan Y190 F9000\n", "G1 X1.2.3 Y190 F9000\n", "G1 X10 Y190 F0\n",
          "G1 X10 Y190 F-9000\n", "G1 X Y190\n", "G2 X10 Y190 F9000\n", "G1 X--1 Y190\n",
          "M104 T1 Sinf\n", "G1 X10 Y190 E9000000000000000000000 F900\n"}) {
        INFO(line);
        const Names names = falls("G1 X10 Y190 F9000\n", line);
        CHECK(std::find(names.begin(), names.end(), "in reach") != names.end());
    }
}

TEST_CASE("check: line numbers go up by one, and checksums fit") {
    CHECK(falls("M84\n", "N7 M84\n") == Names{});
    const int sum = grammar::checksum_of("N7 M84");
    CHECK(falls("M84\n", "N7 M84*" + std::to_string(sum) + "\n") == Names{});
    CHECK(falls("M84\n", "N7 M84*" + std::to_string(sum ^ 1) + "\n").back() == "in reach");
    CHECK(falls("M104 S0\nM84\n", "N7 M104 S0\nN9 M84\n") == Names{"in reach"});
    CHECK(falls("M104 S0\nM84\n", "N7 M104 S0\nN8 M84\n") == Names{});
}

TEST_CASE("check: a plan that asks nothing wants every byte") {
    const plan::Plan plan = plan::load_text(
        "format = 1\n[machine]\nreach = { x = [0, 200], y = [0, 200], z = [0, 200] }\nhottest = "
        "280\n"
        "[[tool]]\nnumber = 0\ntemperature = 190\nheater = { rise = 4.0, loss = 0.01, ambient = 25 "
        "}\n"
        "[[zone]]\nname = \"all\"\nwhere = \"true\"\ntool = \"keep\"\n"
        "[sheet]\nplace = [{ x = 50, y = 50, turn = 0 }]\n",
        "nothing.toml");
    REQUIRE(plan.asks_nothing());
    CHECK(judge(plan, two_pads_before, two_pads_before).held());
    const std::string before(two_pads_before);
    CHECK(fallen(judge(plan, before, before + "\n")) == Names{"nothing asked, nothing done"});
    CHECK(fallen(judge(plan, before, before.substr(0, before.size() - 1))) ==
          Names{"nothing asked, nothing done"});
    const check::Verdict verdict = judge(plan, before, with(before, "M813 P2", "M813 P3"));
    REQUIRE(fallen(verdict) == Names{"nothing asked, nothing done"});
    CHECK(finding(verdict, "nothing asked, nothing done").first[0].output_line ==
          line_of(two_pads_before, "M813"));
    // Any bytes are compared, not only programs.
    CHECK(judge(plan, "\xFF\xFE no program", "\xFF\xFE no program").held());
}

}  // namespace durograde::check_tests
