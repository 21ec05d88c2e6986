#include <catch2/catch.hpp>
#include <cmath>
#include <string>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"

/// How long the program's own waits for heat take: by the heater's equation dT/dt = rise − loss·(T
/// − ambient), solved by hand.
namespace durograde {
namespace {

constexpr double rise_k_s = 4.0, loss_per_s = 0.010,
                 ambient_c = 25.0;  // of support::two_tools_text
constexpr double ready_k =
    2.0;  // a wait is over so near to the set-point, where the plan says nothing

double heat_up_s(double celsius) {
    return -std::log(1 - loss_per_s * (celsius - ambient_c) / rise_k_s) / loss_per_s;
}

std::string program(const std::string& wait) {
    return "G21\nG90\nM83\nT0\nM73 P0 R9\n" + wait +
           "G28\nG1 Z0.2 F720\nG1 X40 Y50 F9000\nG1 X50 E0.4 F600\nM104 S0\n";
}

grade::Figures figures_of(const std::string& wait, std::string& output) {
    const plan::Plan plan = plan::load_text(
        support::two_tools_text(
            "", "", std::string(support::halves_text) + "[sheet]\nplace = [{ x = 50, y = 50 }]\n"),
        "plan.toml");
    grade::Figures figures;
    output = support::graded(plan, program(wait), figures);
    CHECK(check_tests::judge(plan, program(wait), output).held());
    return figures;
}

}  // namespace

TEST_CASE("the first heat-up counts in both times and in the progress", "[grade][heat]") {
    std::string output;
    const grade::Figures cold = figures_of("M104 S190\nG4 P0\n", output);
    for (const char* wait : {"M104 S190\nM109 S190\n", "M109 S190\n", "M109 T0 R190\n",
                             "M104 T0 S190\nM116\n", "M140 S60\nM109 S190\nM190 S60\n"}) {
        CAPTURE(wait);
        const grade::Figures figures = figures_of(wait, output);
        CHECK(figures.before_s - cold.before_s == Approx(heat_up_s(190 - ready_k)).margin(0.1));
        CHECK(figures.waiting_s == Approx(heat_up_s(190 - ready_k)).margin(0.1));
        CHECK(figures.after_s >= heat_up_s(190 - ready_k));
        // Of a print of a minute nearly all is done when the tool is hot.
        const std::size_t last = output.rfind("M73 P", output.find("G1 X50"));
        REQUIRE(last != std::string::npos);
        CHECK(std::stoi(output.substr(last + 5)) >= 85);
    }
}

}  // namespace durograde
