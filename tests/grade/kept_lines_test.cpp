#include <algorithm>
#include <catch2/catch.hpp>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// Whatever the input says or feeds beside its beads is there at the same beads, or refused.
namespace durograde {
namespace {

std::string plan_text(const std::string& extra = "") {
    const std::string guards = "retract = { length = 1.0 }\nhop = 0.4\n";
    return support::two_tools_text(guards, guards,
                                   std::string(support::halves_text) +
                                       "[sheet]\nplace = [{ x = 50, y = 50 }]\n[strings]\ngap = "
                                       "2.0\n" +
                                       extra);
}

/// Two layers of a square of 20 mm about (50, 50); `first` stands before the first bead, `inner`
/// before the second layer's, `stroke` before each inner line.
std::string square(const std::string& first, const std::string& inner = "",
                   const std::string& stroke = "") {
    std::string text = first;
    for (const char* z : {"0.2", "0.4"}) {
        text += std::string("G1 Z") + z + " F600\n";
        if (z[2] == '4') text += inner;
        text +=
            "G1 X40 Y40 F9000\nG1 X60 Y40 E1 F1500\nG1 X60 Y60 E1\nG1 X40 Y60 E1\nG1 X40 Y40 E1\n";
        for (const char* y : {"44", "48", "52", "56"}) {
            text += stroke + "G1 X40 Y" + y + " F9000\nG1 X60 Y" + y + " E1 F1500\n";
        }
    }
    return text + "G1 E-1 F1800\nG1 Z20 F600\nG1 X10 Y10 F9000\nM104 S0\nM84\n";
}

const std::string modes = "M104 S190\nG28\nM109 S190\nT0\nG21\nG90\nM83\nG92 E0\n";

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t times = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++times;
    return times;
}

/// The graded program, proven.
std::string proven(const std::string& program, grade::Figures& figures,
                   const std::string& extra = "") {
    const plan::Plan plan = plan::load_text(plan_text(extra), "square.toml");
    std::string output = support::graded(plan, program, figures);
    const check::Verdict verdict = check_tests::judge(plan, program, output);
    INFO(output << check_tests::story(verdict));
    CHECK(verdict.held());
    return output;
}
std::string proven(const std::string& program, const std::string& extra = "") {
    grade::Figures figures;
    return proven(program, figures, extra);
}

/// All numbers of E together, of a program that gives increments.
double net_mm(const std::string& program) {
    double sum = 0;
    for (std::size_t at = 0; at < program.size();) {
        const std::size_t end = program.find('\n', at);
        const std::string line = program.substr(at, end - at);
        const std::size_t e = line.find(" E");
        if (line.starts_with("G1") && e != std::string::npos) sum += std::stod(line.substr(e + 2));
        at = end + 1;
    }
    return sum;
}

/// What falls where the first `old_part` of the output is replaced.
std::vector<std::string> falls(const std::string& program, const std::string& old_part,
                               const std::string& new_part) {
    const plan::Plan plan = plan::load_text(plan_text(), "square.toml");
    const std::string output = support::graded(plan, program);
    return check_tests::fallen(
        check_tests::judge(plan, program, check_tests::with(output, old_part, new_part)));
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("mode lines before the first bead stand before the first graded bead", "[grade]") {
    const std::string output = proven(square(modes));
    const std::size_t first_bead = output.find(" E0.5");
    for (const char* line : {"\nG21\n", "\nG90\n", "\nM83\n", "\nG92 E0\n"}) {
        CAPTURE(line);
        CHECK(output.find(line) < first_bead);
    }
}

TEST_CASE("what a program never says of its numbers is said for it", "[grade]") {
    const std::string output = proven(square("T0\nM83\n"));
    CHECK(output.find("\nG21\n") < output.find(" E0.5"));
    CHECK(output.find("\nG90\nM83\n") < output.find(" E0.5"));
}

TEST_CASE("no tool is taken for selected that was not", "[grade]") {
    const std::string program = square("M104 S190\nG28\nM109 S190\nG21\nG90\nM83\n");
    const std::string output = proven(program);
    CHECK(std::min(output.find("\nT0\n"), output.find("\nT1\n")) < output.find(" E0.5"));
    // Where it is left out, one half is printed by whichever tool is in use.
    CHECK(falls(program, "\nT0\n", "\n").front() == "right tool");
}

TEST_CASE("a prime in place stands where the input has it", "[grade]") {
    const std::string prime = "G1 E12 F120\n";
    for (const std::string& program :
         {square(modes + prime), square(modes, prime), square(modes, "G1 X5 Y5 F9000\n" + prime)}) {
        const std::string output = proven(program);
        CHECK(count(output, prime) == 1);
        CHECK(falls(program, prime, "") == Names{"settings kept"});
        CHECK(falls(program, prime, prime + prime).front() == "balanced");
    }
}

TEST_CASE("a dot and a pillar are laid as the input lays them", "[grade]") {
    const std::string dot = "G1 X50 Y70 F9000\nG1 E0.5 F120\nG1 Z5.4 E2 F120\nG1 Z0.4 F600\n";
    const std::string output = proven(square(modes, dot));
    CHECK(count(output, "G1 E0.5 F120\nG1 Z5.4 E2 F120\n") == 1);
}

TEST_CASE("what restarts add is fed though their lines go", "[grade]") {
    const std::string program = square(modes, "", "G1 E-1 F1800\nG1 E1.05 F1800\n");
    // At the end one tool more than in the input is left drawn back by its own length.
    CHECK(net_mm(proven(program)) - net_mm(program) == Approx(-1.0).margin(0.001));
}

TEST_CASE("a restart along a bead is not scaled with it", "[grade]") {
    const std::string material =
        "[material]\n[[material.point]]\ntemperature = 190\nflow = 1.0\n"
        "[[material.point]]\ntemperature = 230\nflow = 0.6\n";
    std::string program = square(modes);
    for (std::size_t at = 0; (at = program.find("G1 X40 Y48", at)) != std::string::npos; at += 30)
        program.insert(at, "G1 E-1 F1800\n");
    for (std::size_t at = 0; (at = program.find("G1 X60 Y48 E1", at)) != std::string::npos; ++at)
        program.replace(at, 13, "G1 X60 Y48 E2");
    // Drawn back by 1 mm and given back along the bead: no more and no less is fed in all.
    CHECK(net_mm(proven(program, material)) ==
          Approx(net_mm(proven(square(modes), material))).margin(0.001));
}

TEST_CASE("messages part nothing, unknown commands do and it is told", "[grade]") {
    grade::Figures quiet, loud;
    proven(square(modes, "", "M117 X half\n"), quiet);
    proven(square(modes, "", "TRAY_LAMP ON=1\n"), loud);
    CHECK(quiet.swaps <= quiet.fewest_swaps + 1);
    CHECK(quiet.fewest_swaps_parted == quiet.fewest_swaps);
    CHECK(loud.swaps > 2 * quiet.swaps);
    REQUIRE(loud.barriers.size() == 1);
    CHECK(loud.barriers[0].command == "TRAY_LAMP");
    CHECK(loud.barriers[0].times == 8);
    CHECK(loud.barriers[0].swaps == loud.fewest_swaps_parted - loud.fewest_swaps);
    // Taught that it only tells something, it parts nothing.
    std::string text = plan_text();
    text.insert(text.find("[machine]\n") + 10, "tells = [\"TRAY_LAMP\"]\n");
    grade::Figures taught;
    support::graded(plan::load_text(text, "taught.toml"), square(modes, "", "TRAY_LAMP ON=1\n"),
                    taught);
    CHECK(taught.swaps == quiet.swaps);
    const auto parted = [](const Diagnostic& warning) { return warning.code == "barriers"; };
    CHECK(std::any_of(loud.warnings.begin(), loud.warnings.end(), parted));
    CHECK(std::none_of(quiet.warnings.begin(), quiet.warnings.end(), parted));
}

TEST_CASE("what the input says anew after an unknown command is said before any bead", "[grade]") {
    const std::string parking = "G27 P2\nG1 Z0.4 F600\nG1 X50 Y50 F9000\nM106 S99\n";
    const std::string program = square("M106 S99\n" + modes, parking);
    const std::string output = proven(program);
    const std::size_t after = output.find("G27 P2\n");
    const std::string rest = output.substr(after, output.find(" E0.5", after) - after);
    INFO(rest);
    CHECK(rest.find(" Z0.4") != std::string::npos);
    CHECK(rest.find("M106 S99") != std::string::npos);
}

TEST_CASE("ways go as fast as the program's usual ones", "[grade]") {
    const std::string output = proven(square(modes + "G1 X40 Y38 F60\n"));
    CHECK(count(output, " F60\n") == 0);
    CHECK(count(output, "F9000") > 4);
}

TEST_CASE("increments that G90 turns into absolute numbers are told with the key", "[grade]") {
    std::string program = modes + "G1 Z0.2 F600\nG1 X40 Y39 F9000\n";
    for (int i = 0; i < 80; ++i) {
        if (i % 10 == 0) program += "G91\nG1 Z0.2 F600\nG90\n";
        program += "G1 X" + std::to_string(40 + i % 2 * 20) + " Y" + std::to_string(40 + i % 20) +
                   " E" + std::to_string(0.5 + 0.01 * (i % 3)) + " F1500\n";
    }
    const plan::Plan plan = plan::load_text(plan_text(), "square.toml");
    try {
        support::graded(plan, program);
        FAIL("not refused");
    } catch (const Failure& failure) {
        CHECK(failure.diagnostics().front().code == "e-mode-in-doubt");
        CHECK(failure.diagnostics().front().mend.find("distance_mode_sets_e") != std::string::npos);
    }
}

TEST_CASE("what the plan spells for tools means the same in the input", "[grade]") {
    std::string text = plan_text();
    text.insert(text.find("[[tool]]"),
                "[machine.write]\nselect = \"PICK TOOL={to}\"\nset = \"HEAT TOOL={tool} "
                "TO={temperature}\"\nwait = \"AWAIT TOOL={tool} AT={temperature}\"\n");
    text.replace(text.find("tool = 0", text.find("[[zone]]")), 8, "tool = \"keep\"");
    const plan::Plan plan = plan::load_text(text, "spelled.toml");
    const std::string program = square("AWAIT TOOL=1 AT=230\nPICK TOOL=1\nG28\nG21\nG90\nM83\n");
    const std::string output = support::graded(plan, program);
    INFO(output);
    CHECK(check_tests::judge(plan, program, output).held());
    // Both halves are the second tool's: nothing is swapped.
    CHECK(count(output, "PICK TOOL=") == 1);
}

TEST_CASE("a tool without a retraction draws back as the input did", "[grade]") {
    const auto graded = [](const std::string& stroke) {
        const plan::Plan plan =
            plan::load_text(support::two_tools_text("", "",
                                                    std::string(support::halves_text) +
                                                        "[sheet]\nplace = [{ x = 50, y = 50 }]\n"),
                            "square.toml");
        const std::string program = square(modes, "", stroke);
        std::string output = support::graded(plan, program);
        const check::Verdict verdict = check_tests::judge(plan, program, output);
        INFO(check_tests::story(verdict));
        CHECK(verdict.held());
        return output;
    };
    // Of the two halves of a layer one is reached by new ways: its four lines are drawn back for.
    const std::string by_length = graded("G1 E-0.7 F1800\n");
    CHECK(count(by_length, "G1 E-0.70000 F1800\n") >= 8);
    const std::string by_machine = graded("G10\n");
    CHECK(count(by_machine, "G10\n") >= 8);
    // The tool that is put away last stays drawn back.
    CHECK(count(by_machine, "G10\n") == count(by_machine, "G11\n") + 1);
}

}  // namespace durograde
