#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <sstream>
#include <string>
#include <vector>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "pad_program.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "text/diagnostic.hpp"

/// What stands on the bed is passed over: finished parts by all that moves above the nozzle, and
/// pillars by the nozzle.
namespace durograde {
namespace {

using support::PadProgram;

constexpr double layer_mm = 0.5;

plan::Plan plan_with(const std::string& machine, const std::string& swap_lines = "") {
    const std::string guards = "retract = { length = 1.0 }\nwipe = { length = 2.0 }\nhop = 0.4\n";
    std::string text = support::two_tools_text(
        guards, guards,
        std::string(support::halves_text) +
            "[sheet]\noutside = 0\nplace = [{ x = 60, y = 60 }, { x = 120, y = 60 }]\n"
            "[strings]\ngap = 2.0\n");
    text.insert(text.find("[machine]\n") + 10, machine);
    text.insert(text.find("[[tool]]"), swap_lines);
    return plan::load_text(text, "gantry.toml");
}

void pad_layer(PadProgram& program, double x_mm, double z_mm) {
    program.height(z_mm);
    program.pad(support::moved(support::rectangle(10, 8), x_mm, 60));
}

/// Two pads, one after another, the way between them `clear_mm` above the first.
std::string one_after_another(int layers, double clear_mm = 3.0) {
    PadProgram program;
    for (const double x : {60.0, 120.0}) {
        for (int layer = 1; layer <= layers; ++layer) pad_layer(program, x, layer * layer_mm);
        program.height(layers * layer_mm + clear_mm);
        program.line("G1 X120 Y60 F9000");
    }
    program.line("M104 S0");
    return program.text();
}

std::string layer_by_layer(int layers) {
    PadProgram program;
    for (int layer = 1; layer <= layers; ++layer)
        for (const double x : {60.0, 120.0}) pad_layer(program, x, layer * layer_mm);
    return program.text() + "G1 Z30 F600\nM104 S0\n";
}

check::Verdict proven(const plan::Plan& plan, const std::string& program) {
    check::Verdict verdict = check_tests::judge(plan, program, support::graded(plan, program));
    INFO(check_tests::story(verdict));
    CHECK(verdict.held());
    return verdict;
}

Diagnostic refusal(const plan::Plan& plan, const std::string& program, Exit exit) {
    try {
        support::graded(plan, program);
    } catch (const Failure& failure) {
        CHECK(failure.exit() == exit);
        return failure.diagnostics().front();
    }
    FAIL("is graded");
    return {};
}

/// Two pads layer by layer and a pillar between them, which the program's own ways pass above.
std::string pads_with_a_pillar() {
    PadProgram program;
    for (int layer = 1; layer <= 3; ++layer) {
        for (const double x : {60.0, 120.0}) {
            pad_layer(program, x, layer * layer_mm);
            program.height(9);
        }
        if (layer != 1) continue;
        program.line("G1 X90 Y60 F9000\nG1 Z0.2 F600\nG1 Z6.2 E3 F120\nG1 Z9 F600");
    }
    program.line("M104 S0");
    return program.text();
}

struct Place {
    double x = 0.0, y = 0.0, z = 0.0;
};
struct Way {
    Place from, to;
    double e_mm = 0.0;
};

/// The moves of a program in mm, with absolute places and increments of E.
std::vector<Way> ways_of(const std::string& program) {
    std::vector<Way> ways;
    Place at;
    std::istringstream lines(program);
    for (std::string line; std::getline(lines, line);) {
        if (!line.starts_with("G1 ") && !line.starts_with("G0 ")) continue;
        Way way{at, at, 0.0};
        std::istringstream words(line.substr(3));
        for (std::string word; words >> word;) {
            const double number = std::stod(word.substr(1));
            if (word[0] == 'X') way.to.x = number;
            if (word[0] == 'Y') way.to.y = number;
            if (word[0] == 'Z') way.to.z = number;
            if (word[0] == 'E') way.e_mm = number;
        }
        at = way.to;
        ways.push_back(way);
    }
    return ways;
}

/// How near the way comes to (x, y), mm.
double gap_mm(const Place& from, const Place& to, double x, double y) {
    const double dx = to.x - from.x, dy = to.y - from.y;
    const double length2 = dx * dx + dy * dy;
    const double share =
        length2 > 0 ? std::clamp(((x - from.x) * dx + (y - from.y) * dy) / length2, 0.0, 1.0) : 0.0;
    return std::hypot(from.x + dx * share - x, from.y + dy * share - y);
}

}  // namespace

TEST_CASE("finished parts stand no higher above the nozzle than the gantry passes", "[gantry]") {
    const std::string program = one_after_another(8);  // 4 mm high
    proven(plan_with(""), program);
    proven(plan_with("gantry = 3.6\n"), program);
    const Diagnostic refused = refusal(plan_with("gantry = 3.4\n"), program, Exit::bad_input);
    CHECK(refused.code == "under-the-gantry");
    // The line that goes down to the second pad's first layer.
    const std::size_t down = program.find("G1 Z0.500", program.find("G1 Z7.000"));
    const auto lines_before = std::count(program.begin(), program.begin() + long(down), '\n');
    CHECK(refused.place.line == static_cast<std::uint64_t>(lines_before) + 1);
    proven(plan_with("gantry = 0.1\n"), layer_by_layer(8));
}

TEST_CASE("what is extruded high above all falls, and no gantry hits it", "[gantry]") {
    std::string program = layer_by_layer(2);
    program.insert(program.find("G1 Z"), "G1 X5 Y5 Z40 F6000\nG1 X25 E10 F300\n");
    proven(plan_with("gantry = 3\n"), program);
}

TEST_CASE("lines around a swap do not go under the gantry", "[gantry]") {
    const std::string lines = "[machine.write]\nafter_swap = [\"G1 X10 Y150 Z1 F6000\"]\n";
    const std::string program = layer_by_layer(10);  // 5 mm high
    const Diagnostic refused = refusal(plan_with("gantry = 3.5\n", lines), program, Exit::bad_plan);
    CHECK(refused.code == "unfit-line");
    CHECK(refused.place.line > 0);
    proven(plan_with("gantry = 4.5\n", lines), program);
    // Graded where the gantry is not known: the proof that knows it sees the nozzle go there.
    const std::string output = support::graded(plan_with("", lines), program);
    const check::Verdict verdict =
        check_tests::judge(plan_with("gantry = 3.5\n", lines), program, output);
    CHECK_FALSE(check_tests::finding(verdict, "nothing hit").held);
    CHECK(check_tests::story(verdict).find("gantry") != std::string::npos);
}

TEST_CASE("the proof sees beads that are laid under the gantry", "[gantry]") {
    const std::string program = one_after_another(8);
    const std::string output = support::graded(plan_with(""), program);
    const check::Verdict verdict = check_tests::judge(plan_with("gantry = 3.4\n"), program, output);
    CHECK_FALSE(check_tests::finding(verdict, "nothing hit").held);
    CHECK(check_tests::finding(check_tests::judge(plan_with("gantry = 3.6\n"), program, output),
                               "nothing hit")
              .held);
}

TEST_CASE("ways between parts pass above a pillar", "[gantry]") {
    const plan::Plan plan = plan_with("");
    const std::string program = pads_with_a_pillar();
    proven(plan, program);
    const std::string output = support::graded(plan, program);
    const std::size_t pillar = output.find("E3");
    REQUIRE(pillar != std::string::npos);
    std::size_t over = 0;
    bool stands = false;
    for (const Way& move : ways_of(output)) {
        if (stands && gap_mm(move.from, move.to, 90, 60) < 0.4) {
            CHECK(std::min(move.from.z, move.to.z) >= 6.2);
            ++over;
        }
        stands = stands || (move.e_mm > 2.9 && move.to.z > 6);
    }
    CHECK(over >= 4);  // two layers, two tools
    // Nothing else is lifted for it.
    const std::vector<Way> ways = ways_of(output.substr(pillar));
    const auto lifts = std::count_if(ways.begin(), ways.end(), [](const Way& way) {
        return way.to.z >= 6.2 && way.from.z < way.to.z;
    });
    CHECK(lifts <= 20);
}

TEST_CASE("the proof sees a way through a pillar", "[gantry]") {
    const plan::Plan plan = plan_with("");
    const std::string program = pads_with_a_pillar();
    std::string output = support::graded(plan, program);
    // Behind the pillar, the lift before the last way from pad to pad on which no tool is changed.
    std::size_t lift = std::string::npos;
    for (std::size_t at = output.find("E3"); (at = output.find("\nG1 Z", at + 1)) != output.npos;) {
        const std::size_t way = output.find('\n', at + 1) + 1;
        if (std::stod(output.substr(at + 5)) < 6.2 || output.compare(way, 4, "G1 X") != 0) continue;
        const std::size_t bead = output.rfind(" E0.", at);
        const std::size_t begin = output.rfind(" X", bead);
        const bool crosses =
            (std::stod(output.substr(begin + 2)) < 90) != (std::stod(output.substr(way + 4)) < 90);
        if (crosses && output.substr(bead, at - bead).find("\nT") == output.npos) lift = at;
    }
    REQUIRE(lift != std::string::npos);
    INFO(output.substr(lift - 200, 400));
    const std::size_t end = output.find('\n', lift + 1);
    output.replace(lift, end - lift, "\nG1 Z3.1 F720");
    const check::Verdict verdict = check_tests::judge(plan, program, output);
    CHECK_FALSE(check_tests::finding(verdict, "nothing hit").held);
}

}  // namespace durograde
