#include "heat/fit.hpp"

#include <memory>
#include <optional>

#include "options.hpp"
#include "report/heater_fit.hpp"
#include "text/program_input.hpp"
#include "text/release.hpp"

namespace durograde::cli {
namespace {

struct FitOptions {
    LogOptions log;
    PlanOptions plan;
    std::string input, output = "-";
    bool quiet = false;
};

int fit_heater(const FitOptions& options) {
    start_log(options.log);
    refuse_terminal(options.input);
    FileGuard guard;
    std::optional<plan::Plan> plan;
    if (!options.plan.file.empty()) plan.emplace(options.plan.load(guard));
    guard.reads(options.input, "the log");
    guard.writes(options.output, "the heater's line");
    ProgramInput input = ProgramInput::open(options.input);
    Release output(options.output);
    LineSource source = input.first_reading();
    const heat::HeaterFit fit = heat::fit_heater(heat::read_heater_log(source));
    output.sink().write(heat::toml(fit));
    output.release();
    if (!options.quiet) {
        print_for_people(report::text(fit, input.name(), plan ? &*plan : nullptr));
    }
    return static_cast<int>(Exit::done);
}

void add_heater(CLI::App& fit, int& status) {
    auto options = std::make_shared<FitOptions>();
    CLI::App* command = fit.add_subcommand(
        "heater", "Find rise, loss and ambient of a tool from a log of its heating and cooling");
    command
        ->add_option("LOG", options->input,
                     "The log (CSV): time in s, temperature in °C, duty (0 to 1) or set_point in "
                     "°C, and ambient in °C if measured; - for standard input")
        ->required()
        ->type_name("LOG");
    options->plan.add_to(*command);
    CLI::Option* plan = command->get_option("--plan")->required(false);
    command->get_option("--set")->needs(plan);
    command
        ->add_option("-o,--output", options->output,
                     "Where the lines for the plan go, - for standard output")
        ->type_name("FILE");
    command->add_flag("-q,--quiet", options->quiet, "No report for people");
    options->log.add_to(*command);
    command->callback([options, &status] { status = fit_heater(*options); });
}

void add_material(CLI::App& fit) {
    CLI::App* command = fit.add_subcommand("material", "Not available in this version");
    command->allow_extras();
    command->callback([] {
        throw Failure(Exit::usage,
                      Diagnostic{.code = "not-yet",
                                 .text = "fit material is not available in this version",
                                 .mend = "measure flow, density and hardness by hand and write "
                                         "them as [[material.point]]"});
    });
}

}  // namespace

void add_fit(CLI::App& app, int& status) {
    CLI::App* command =
        app.add_subcommand("fit", "Find values of a plan from measurements of the machine");
    command->require_subcommand(1);
    add_heater(*command, status);
    add_material(*command);
}

}  // namespace durograde::cli
