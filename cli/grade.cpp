#include "grade/grade.hpp"

#include <spdlog/spdlog.h>

#include <memory>
#include <optional>

#include "options.hpp"
#include "report/json.hpp"
#include "report/text.hpp"
#include "text/release.hpp"

namespace durograde::cli {
namespace {

struct GradeOptions {
    CommonOptions common;
    std::string plan_file, input = "-", output = "-";
    bool dry_run = false;
};

/// Takes a program's bytes and lets them go: a dry run writes none.
class Nowhere final : public Sink {
  public:
    void write(std::string_view) override {}
};

int run(const GradeOptions& options) {
    start_log(options.common.log_level);
    refuse_terminal(options.input);
    if (options.common.report_file == options.output) {
        throw CLI::ValidationError("--report", "the report cannot go where the program goes");
    }
    const plan::Plan plan = plan::load(options.plan_file, options.common.overrides());
    ProgramInput input = ProgramInput::open(options.input);
    // All outputs are prepared before the work begins: a name that cannot be written fails at once.
    std::optional<Release> report;
    if (!options.common.report_file.empty()) report.emplace(options.common.report_file);
    std::optional<Release> output;
    if (!options.dry_run) output.emplace(options.output);
    Nowhere nowhere;

    spdlog::info("grading {} by {}", input.name(), options.plan_file);
    grade::Figures figures = grade::grade(input, plan, output ? output->sink() : nowhere);
    figures.output_name = output ? output->name() : "";
    if (output) {
        output->release();
        figures.released = true;
        spdlog::info("released {} ({} bytes)", output->name(), figures.output_bytes);
    }
    if (report) {
        report->sink().write(report::json(figures));
        report->release();
    }
    const std::string text = report::text(figures, plan);
    if (options.dry_run) {
        print(text);
    } else if (!options.common.quiet) {
        print_for_people(text);
    }
    return static_cast<int>(Exit::done);
}

}  // namespace

void add_grade(CLI::App& app, int& status) {
    auto options = std::make_shared<GradeOptions>();
    CLI::App* command = app.add_subcommand(
        "grade",
        "Turn a sliced program into a graded one: the same beads, each at its zone's temperature");
    command->add_option("-p,--plan", options->plan_file, "The plan (TOML)")
        ->required()
        ->type_name("PLAN");
    command->add_option("INPUT", options->input, "The sliced program, - for standard input")
        ->type_name("FILE");
    command
        ->add_option("-o,--output", options->output,
                     "Where the graded program goes, - for standard output")
        ->type_name("FILE");
    command->add_flag("--dry-run", options->dry_run,
                      "Print the report of what would change on standard output, write no program");
    options->common.add_to(*command, true);
    command->callback([options, &status] { status = run(*options); });
}

}  // namespace durograde::cli
