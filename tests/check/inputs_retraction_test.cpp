#include <catch2/catch.hpp>
#include <cmath>
#include <string>
#include <vector>

#include "../support/pad_program.hpp"
#include "grading.hpp"
#include "pair.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// A tool of which the plan does not say how it retracts does as the input has done.
namespace durograde::check_tests {
namespace {

constexpr int layers = 4;

/// Two pads, layer by layer, retracted by `retract` before the way between them.
std::string pads(const std::string& retract, const std::string& restart) {
    support::PadProgram program;
    program.line("T0");
    for (int layer = 1; layer <= layers; ++layer) {
        program.height(0.4 * layer);
        for (const double x : {50.0, 110.0}) {
            program.pad(support::moved(support::rectangle(12, 8), x, 60));
            program.line(retract);
            program.line(fmt::format("G1 X{} Y60 F9000", x == 50.0 ? 110 : 50));
            program.line(restart);
        }
    }
    program.line(retract);
    program.line("G1 Z30 F600\nM104 S0");
    return program.text();
}

plan::Plan plan_without_retract() {
    return plan::load_text(
        support::two_tools_text("", "",
                                std::string(support::halves_text) +
                                    "[sheet]\nplace = [{ x = 50, y = 60 }, { x = 110, y = 60 }]\n"
                                    "[strings]\ngap = 2.0\n"),
        "plain.toml");
}

struct Manner {
    const char *retract, *restart;
    const char *in_output, *back_in_output;
};
// In place, and by the controller.
constexpr Manner manners[] = {{"G1 E-0.8 F2400", "G1 E0.8 F2400", "G1 E-0.80000", "G1 E0.80000"},
                              {"G10", "G11", "G10", "G11"}};

/// The lines of `text` that begin so, by their place, from the second layer on.
std::vector<std::size_t> places(const std::string& text, const std::string& begin) {
    std::vector<std::size_t> found;
    std::size_t at = text.find("G1 Z0.8");
    while ((at = text.find("\n" + begin, at + 1)) != std::string::npos) found.push_back(at + 1);
    return found;
}

/// Whether a tool is put away behind the line, or a way of 20 mm or more begins there.
bool must_retract(const std::string& text, std::size_t at) {
    const std::size_t next = text.find('\n', at) + 1;
    if (text.compare(next, 1, "T") == 0) return true;
    const std::size_t before = text.rfind(" X", at);
    if (text.compare(next, 4, "G1 X") != 0 || text.find(" Y", next) > text.find('\n', next))
        return false;
    const double mm = std::stod(text.substr(next + 4)) - std::stod(text.substr(before + 2));
    return std::abs(mm) > 20;
}

void erase_line(std::string& text, std::size_t at) {
    text.erase(at, text.find('\n', at) + 1 - at);
}

}  // namespace

TEST_CASE("a way without the retraction that the input makes is seen", "[check]") {
    const plan::Plan plan = plan_without_retract();
    for (const Manner& manner : manners) {
        CAPTURE(manner.retract);
        const std::string before = pads(manner.retract, manner.restart);
        const std::string after = support::graded(plan, before);
        INFO(after);
        REQUIRE(fallen(judge(plan, before, after)).empty());
        std::size_t removed = 0;
        for (const std::size_t at : places(after, manner.in_output)) {
            std::string damaged = after;
            const std::size_t back = after.find("\n" + std::string(manner.back_in_output), at);
            // The last one is the input's own.
            if (back == std::string::npos || !must_retract(after, at)) continue;
            erase_line(damaged, back + 1);
            erase_line(damaged, at);
            CAPTURE(at);
            CHECK_FALSE(finding(judge(plan, before, damaged), "protected").held);
            ++removed;
        }
        CHECK(removed >= 2 * (layers - 1));
    }
}

TEST_CASE("where the input never retracts, none is asked of a tool that does not say", "[check]") {
    const plan::Plan plan = plan_without_retract();
    const std::string before = pads("M117 on", "M117 over");
    const std::string after = support::graded(plan, before);
    CHECK(after.find(" E-") == std::string::npos);
    CHECK(fallen(judge(plan, before, after)).empty());
}

}  // namespace durograde::check_tests
