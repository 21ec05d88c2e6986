#include <memory>

#include "grade/survey.hpp"
#include "options.hpp"
#include "report/text.hpp"
#include "text/program_input.hpp"

namespace durograde::cli {
namespace {

/// A machine for programs that are only looked at: large enough for any bed.
plan::Machine any_machine() {
    plan::Machine machine;
    machine.reach_x = machine.reach_y = machine.reach_z = {-200.0, 800.0};
    return machine;
}

int run(const std::string& path, const CommonOptions& common) {
    start_log(common.log_level);
    refuse_terminal(path);
    ProgramInput input = ProgramInput::open(path);
    LineSource source = input.first_reading();
    const grade::Survey survey = grade::survey(source, program::Dialect{}, any_machine());
    print(report::inspection(survey, input.name()));
    return static_cast<int>(Exit::done);
}

}  // namespace

void add_inspect(CLI::App& app, int& status) {
    struct Options {
        std::string input = "-", log_level = "warn";
    };
    auto options = std::make_shared<Options>();
    CLI::App* command = app.add_subcommand(
        "inspect",
        "Show what a program holds: layers, islands of beads, tools, time, how it is written");
    command->add_option("INPUT", options->input, "The program, - for standard input")
        ->type_name("FILE");
    command->add_option("--log", options->log_level, "Log to standard error from this level on")
        ->type_name("LEVEL")
        ->check(CLI::IsMember({"debug", "info", "warn", "error", "off"}));
    command->callback([options, &status] {
        CommonOptions common;
        common.log_level = options->log_level;
        status = run(options->input, common);
    });
}

}  // namespace durograde::cli
