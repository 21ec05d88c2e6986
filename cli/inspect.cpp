#include <memory>
#include <optional>

#include "grade/survey.hpp"
#include "options.hpp"
#include "report/inspection.hpp"
#include "text/program_input.hpp"

namespace durograde::cli {
namespace {

/// A machine for programs that are only looked at: large enough for any bed.
plan::Machine any_machine() {
    plan::Machine machine;
    machine.reach_x = machine.reach_y = machine.reach_z = {-200.0, 800.0};
    return machine;
}

/// What can be told without a plan: G10 with P and a temperature sets a tool everywhere that it is
/// known at all.
program::Dialect any_dialect() {
    program::Dialect dialect;
    dialect.reads.g10 = plan::RetractOrTool::tool;
    return dialect;
}

struct InspectOptions {
    LogOptions log;
    std::string input = "-";
};

int run(const InspectOptions& options) {
    start_log(options.log);
    refuse_terminal(options.input);
    FileGuard guard;
    guard.reads(options.input, "the program");
    guard.writes("-", "what it holds");
    ProgramInput input = ProgramInput::open(options.input);
    LineSource source = input.first_reading();
    const grade::Survey survey = grade::survey(source, any_dialect(), any_machine());
    std::optional<grade::Survey> labelled;
    if (survey.labels.any()) {
        // Where labels tell the parts, a raft or a support under none is no part of them.
        plan::Sheet sheet;
        sheet.source = plan::Sheet::Source::labels;
        LineSource again = input.second_reading();
        labelled = grade::survey(again, any_dialect(), any_machine(), sheet);
    }
    print(report::inspection(survey, labelled ? &*labelled : nullptr, input.name()));
    return static_cast<int>(Exit::done);
}

}  // namespace

void add_inspect(CLI::App& app, int& status) {
    auto options = std::make_shared<InspectOptions>();
    CLI::App* command = app.add_subcommand(
        "inspect",
        "Show what a program holds: layers, islands of beads, tools, time, how it is written");
    command->add_option("INPUT", options->input, "The program, - for standard input")
        ->type_name("FILE");
    options->log.add_to(*command);
    command->callback([options, &status] { status = run(*options); });
}

}  // namespace durograde::cli
