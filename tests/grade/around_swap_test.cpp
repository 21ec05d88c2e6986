#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "../check/pair.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "plans.hpp"
#include "replay.hpp"
#include "sheet.hpp"
#include "text/diagnostic.hpp"

/// Lines that people write around a swap, as controllers' manuals and forums have them (common
/// practice, no source): each works, and the proof holds, or is refused as the plan's fault at its
/// own line. None is a fault of the program.
namespace durograde {
namespace {

struct Form {
    std::vector<std::string> before, after;
    bool works = true;
};

const std::vector<Form>& forms() {
    static const std::vector<Form> all = {
        {{}, {}},
        {{"DOCK_TOOL NUMBER={from}"}, {"TAKE_TOOL NUMBER={to} AT={temperature}"}},
        {{"M98 P\"leave.g\""}, {"M98 P\"take.g\""}},
        {{"; dock {from}"}, {"; taken {to} at {temperature}"}},
        {{""}, {" ", ""}},
        {{"M400", "M117 swap {from} to {to}"}, {"M118 taken", "M300 S440 P100"}},
        {{"G1 X10 Y350 F9000"}, {}},
        {{"G0 X10 Y350 F9000 ; to the dock"}, {"G0 X20 F6000"}},
        {{"g1 x10 y350 f9000"}, {"g1 x20"}},
        // Faster than the program travels, and than its travels' heights change.
        {{"G1 X10 Y350 F15000"}, {"G1 X20 Z30 F15000", "G1 Z31", "G1 E2"}},
        {{"G01 X10 Y350 F9000"}, {"G00 X20"}},
        {{"  G1 X10 Y350 F9000  "}, {"\\tM400"}},
        {{"G91", "G1 Z5 F600", "G90"}, {"G91", "G1 Z-5 F600", "G90"}},
        {{"G91", "G1 Z2 F600"}, {"G91", "G1 X-5 Y-5 F3000"}},
        {{"G1 X10 Y350 F9000"},
         {"G1 X10 Y350 F6000", "G1 X30 F6000", "G1 X10", "G1 X30", "G1 X10"}},
        {{}, {"G1 X10 Y350 Z30 F9000", "G1 E8 F200", "G1 E-1 F2100", "G1 X30 F9000"}},
        {{"G1 E-8 F2100"}, {"G1 E8 F2100"}},
        {{"G1 X10 Y350 F9000", "G1 E3 F200", "G1 E-2 F2100"}, {}},
        {{}, {"G1 X10 Y350 Z30 F9000", "G1 X60 E4 F600", "G1 X10 E4"}},
        {{}, {"G92 E0", "G1 E2 F200", "G92 E0"}},
        {{}, {"M82", "G92 E0", "G1 E5 F200", "G92 E0"}},
        {{}, {"G92 E0"}},
        {{"G92"}, {}, false},
        {{"G92 X0"}, {}, false},
        {{"G90"}, {"G90"}},
        {{"M83"}, {"M83"}},
        {{"M82"}, {"M82"}},
        {{"G21"}, {"G21"}},
        {{"G20", "G1 X0.5 Y13.5 F300", "G21"}, {}},
        {{"G20"}, {"G20", "G1 X0.5 Y13.5 F300"}},
        {{"M220 S100"}, {"M221 S100"}},
        {{"M220 S50", "G1 X10 Y350 F9000", "M220 S100"}, {}},
        {{"M220 S50"}, {}, false},
        {{}, {"M221 S95"}, false},
        {{"M106 S255", "G4 P500", "M107"}, {}},
        {{"M106 S255"}, {"M106 S0"}},
        {{}, {"M106 S255"}, false},
        {{"G4 P500"}, {"G4 S1"}},
        {{"G28 X"}, {"G28 X Y"}},
        {{"G28"}, {}, false},
        {{"G28 Z"}, {}, false},
        {{"M600"}, {"M601"}},
        {{"M42 P2 S1"}, {"M280 P0 S90"}},
        {{"SWAP_LAMP"}, {"t_dock", "TOOL_DOCK"}},
        {{"G12"}, {}},
        {{"G10"}, {}, false},
        {{}, {"G11"}, false},
        {{"G10 P1 R0"}, {}, false},
        {{"M104 S0"}, {}, false},
        {{}, {"M109 S{temperature}"}, false},
        {{}, {"M116"}, false},
        {{"T9"}, {}, false},
        {{}, {"T{to}"}, false},
        {{}, {"M6 T{to}"}, false},
        {{"N5 G1 X10"}, {}, false},
        {{"G1 X10*80"}, {}, false},
        {{"G1 X500 F9000"}, {}, false},
        {{"G1 X10 F90000"}, {}, false},
        {{"G1 X10 F0"}, {}, false},
        {{"G1 X"}, {}, false},
        {{"G1 X1 X2"}, {}, false},
        {{"G2 X10 Y10 I5"}, {}, false},
        {{"G5 X10 Y10 E1"}, {}, false},
        {{"G90 G1 X10"}, {}, false},
        {{"X10 Y10"}, {}, false},
        {{"F6000"}, {}, false},
        {{"(dock)"}, {}, false},
        {{"G54"}, {}, false},
        {{"M204 S500"}, {}, false},
        {{"M30"}, {}, false},
        {{"/M400"}, {}, false},
        {{"*5"}, {}, false},
        {{"{to}"}, {}, false},
        {{"G{to} X5"}, {}, false},
        {{"; durograde: prime begins"}, {}, false},
        {{"; durograde: swap ends"}, {}, false},
        {{"G91", "G1 Z500 F600"}, {}, false},
        {{"G1 Z0.2 F600"}, {}, false},
        {{}, {"G1 X{x} Y{y} Z{z} F9000"}},
        {{"M808 L5"}, {}, false},
    };
    return all;
}

std::string list_text(const std::string& key, const std::vector<std::string>& lines) {
    std::string text = key + " = [";
    for (const std::string& line : lines) {
        std::string quoted;
        for (const char c : line) quoted += c == '"' ? std::string("\\\"") : std::string(1, c);
        text += "\"" + quoted + "\", ";
    }
    return text + "]\n";
}

struct Sheet {
    std::string plan, program;
};

const std::vector<Sheet>& sheets_of_three_kinds() {
    static const std::vector<Sheet> all = [] {
        std::vector<Sheet> made;
        for (const std::uint64_t seed : {3U, 14U, 25U}) {
            const sheets::Style style = sheets::sane(sheets::style_from_seed(seed));
            support::PlanShape shape = support::plan_shape_from_seed(seed);
            shape.tools = 3;
            shape.material = seed % 2 == 0;
            made.push_back({support::plan_text(style, shape), sheets::make_sheet(style)});
        }
        return made;
    }();
    return all;
}

std::string plan_with(const Sheet& sheet, const Form& form) {
    const std::string write = "[machine.write]\n" + list_text("before_swap", form.before) +
                              list_text("after_swap", form.after);
    return check_tests::with(sheet.plan, "[[tool]]", write + "[[tool]]");
}

}  // namespace

TEST_CASE("every form of lines around a swap works or is refused at its line", "[grade][swap]") {
    CHECK(forms().size() >= 60);
    for (const Form& form : forms()) {
        CAPTURE(form.before, form.after);
        for (const Sheet& sheet : sheets_of_three_kinds()) {
            const std::string text = plan_with(sheet, form);
            bool works = true;
            try {
                const plan::Plan plan = plan::load_text(text, "plan.toml");
                grade::Figures figures;
                const std::string output = support::graded(plan, sheet.program, figures);
                CHECK(figures.swaps > 0);
                const check::Verdict verdict = check_tests::judge(plan, sheet.program, output);
                INFO(check_tests::story(verdict));
                CHECK(verdict.held());
            } catch (const Failure& failure) {
                works = false;
                const Diagnostic& first = failure.diagnostics().front();
                INFO(first.text);
                CHECK(failure.exit() == Exit::bad_plan);
                CHECK(first.place.file == "plan.toml");
                CHECK(text.find(list_text(form.before.empty() ? "after_swap" : "before_swap",
                                          form.before.empty() ? form.after : form.before)) !=
                      std::string::npos);
                CHECK((first.code == "unfit-line" || first.code == "bad-template"));
            }
            CHECK(works == form.works);
        }
    }
}

}  // namespace durograde
