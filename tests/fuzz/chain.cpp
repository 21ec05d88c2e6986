#include <string>

#include "check/check.hpp"
#include "grading.hpp"
#include "plan/load.hpp"
#include "refusal.hpp"
#include "targets.hpp"
#include "text/program_input.hpp"

namespace durograde::fuzz {
namespace {

std::string story_of(const check::Verdict& verdict) {
    std::string story = "the checker does not hold the output to be right\n";
    for (const check::Finding& finding : verdict.findings) {
        for (const check::Spot& spot : finding.first) {
            story += finding.name + ", line " + std::to_string(spot.input_line) + " / " +
                     std::to_string(spot.output_line) + ": " + spot.text + "\n";
        }
    }
    return story;
}

/// How thin zones are changes a figure of the report alone, and takes most of the time: it is
/// measured where the plan asks for it by name.
plan::Plan plan_of(std::string_view text) {
    // A folder that does not exist: what a plan includes is then never found.
    plan::Plan plan = plan::load_text(text, "nowhere/plan.toml");
    if (text.find("thinnest") == std::string_view::npos)
        for (plan::Zone& zone : plan.zones) zone.thinnest_mm.reset();
    return plan;
}

/// One input of eight is graded a second time. Which ones rests on their bytes alone.
bool is_tried_twice(std::string_view bytes) {
    constexpr unsigned one_of = 8;
    unsigned sum = 0;
    for (const char byte : bytes) sum = sum * 31 + static_cast<unsigned char>(byte);
    return sum % one_of == 0;
}

void promise_proof(const plan::Plan& plan, std::string_view before, std::string_view after) {
    ProgramInput before_file = ProgramInput::from_text(before, "before.gcode");
    ProgramInput after_file = ProgramInput::from_text(after, "after.gcode");
    try {
        const check::Verdict verdict = check::check(plan, before_file.rewindable(), "before.gcode",
                                                    after_file.rewindable(), "after.gcode");
        if (!verdict.held()) throw Broken(story_of(verdict));
    } catch (const Failure& failure) {
        throw Broken(std::string("the checker refuses what was graded: ") + failure.what());
    }
}

}  // namespace

void try_chain(std::string_view bytes) {
    const std::size_t at = bytes.find(program_follows);
    if (at == std::string_view::npos) return;
    const std::string_view program = bytes.substr(at + program_follows.size());
    try {
        const plan::Plan plan = plan_of(bytes.substr(0, at));
        const std::string output = support::graded(plan, program);
        if (is_tried_twice(bytes))
            promise(support::graded(plan, program) == output, "graded otherwise the second time");
        promise_proof(plan, program, output);
    } catch (const Failure& failure) {
        promise_refusal(failure, {Exit::bad_input, Exit::bad_plan});
    }
}

}  // namespace durograde::fuzz
