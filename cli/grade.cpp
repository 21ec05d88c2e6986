#include "grade/grade.hpp"

#include <spdlog/spdlog.h>

#include <memory>
#include <optional>

#include "heat/command.hpp"
#include "interrupts.hpp"
#include "options.hpp"
#include "prove.hpp"
#include "report/json.hpp"
#include "report/text.hpp"
#include "text/release.hpp"
#include "text/stream.hpp"

namespace durograde::cli {
namespace {

struct GradeOptions {
    LogOptions log;
    PlanOptions plan;
    ReportOptions report;
    std::string input = "-", output = "-";
    bool dry_run = false, stream = false;
};

/// The last lines of a program that was begun and cannot be gone on with.
std::string last_lines(const plan::Plan& plan) {
    return "; durograde: incomplete, this print must be thrown away: heaters off\n" +
           heat::all_off(plan, "\n");
}

struct Graded {
    grade::Figures figures;
    check::Verdict verdict;
};

/// Grades into `output` and proves what came out.
Graded grade_and_prove(const plan::Plan& plan, ProgramInput& input, Sink& sink,
                       const Release& output) {
    Graded graded;
    graded.figures = grade::grade(input, plan, sink);
    graded.verdict = prove(plan, input, output.rewound(), "the output");
    return graded;
}

/// Lets lines leave as they are made. `copy` keeps them for the proof.
Graded stream(const GradeOptions& options, const plan::Plan& plan, ProgramInput& input,
              Release& copy) {
    Stream out(options.output, copy.sink());
    const Interrupts interrupts([&] { out.abandon(last_lines(plan)); });
    try {
        Graded graded = grade_and_prove(plan, input, out, copy);
        out.finish();
        graded.figures.output_name = out.name();
        graded.figures.warnings.push_back(
            {.code = "streamed",
             .severity = Severity::warning,
             .text = "the program left line by line before it was proven, as --stream asks",
             .mend = "leave out --stream where nobody stands beside the machine"});
        return graded;
    } catch (...) {
        out.abandon(last_lines(plan));
        throw;
    }
}

/// Where the program goes, and where its report goes if there is one.
struct Outputs {
    Release program;
    std::optional<Release> report;
};

void write_report(Release& report, const Graded& graded) {
    report.sink().write(report::json(graded.figures, graded.verdict));
}

/// The program and its report, both or none.
void release(Graded& graded, Outputs& outputs) {
    graded.figures.output_name = outputs.program.name();
    if (!outputs.report) return outputs.program.release();
    write_report(*outputs.report, graded);
    Release::release_both(outputs.program, *outputs.report);
}

/// The report of a program that has left already.
void report_streamed(const Graded& graded, Outputs& outputs) {
    if (!outputs.report) return;
    try {
        write_report(*outputs.report, graded);
        outputs.report->release();
    } catch (const Failure& failure) {
        Diagnostic told = failure.diagnostics().front();
        told.text += "; the program has left, whole and proven";
        throw Failure(failure.exit(), std::move(told));
    }
}

/// Nothing but reports leave.
void dry_run(const Graded& graded, const plan::Plan& plan, Outputs& outputs) {
    print(report::text(graded.figures, graded.verdict, plan));
    if (!outputs.report) return;
    write_report(*outputs.report, graded);
    outputs.report->release();
}

int run(const GradeOptions& options) {
    start_log(options.log);
    refuse_terminal(options.input);
    FileGuard guard;
    const plan::Plan plan = options.plan.load(guard);
    guard.reads(options.input, "the sliced program");
    guard.writes(options.output, "the graded program");
    if (!options.report.file.empty()) guard.writes(options.report.file, "the report");
    ProgramInput input = ProgramInput::open(options.input);
    // All outputs are prepared before the work begins: a name that cannot be written fails at once.
    const bool keeps_spool = options.dry_run || options.stream;
    Outputs outputs{Release(keeps_spool ? "-" : options.output), std::nullopt};
    if (!options.report.file.empty()) outputs.report.emplace(options.report.file);

    spdlog::info("grading {} by {}", input.name(), options.plan.file);
    Graded graded = options.stream
                        ? stream(options, plan, input, outputs.program)
                        : grade_and_prove(plan, input, outputs.program.sink(), outputs.program);
    graded.figures.released = !options.dry_run;
    if (options.dry_run) {
        dry_run(graded, plan, outputs);
        return static_cast<int>(Exit::done);
    }
    options.stream ? report_streamed(graded, outputs) : release(graded, outputs);
    spdlog::info("released {} ({} bytes)", graded.figures.output_name, graded.figures.output_bytes);
    if (!options.report.quiet) print_for_people(report::text(graded.figures, graded.verdict, plan));
    return static_cast<int>(Exit::done);
}

}  // namespace

void add_grade(CLI::App& app, int& status) {
    auto options = std::make_shared<GradeOptions>();
    CLI::App* command = app.add_subcommand(
        "grade",
        "Turn a sliced program into a graded one: the same beads, each at its zone's temperature");
    options->plan.add_to(*command);
    command->add_option("INPUT", options->input, "The sliced program, - for standard input")
        ->type_name("FILE");
    command
        ->add_option("-o,--output", options->output,
                     "Where the graded program goes, - for standard output")
        ->type_name("FILE");
    command->add_flag("--dry-run", options->dry_run,
                      "Print the report of what would change on standard output, write no program");
    command
        ->add_flag("--stream", options->stream,
                   "Write as the lines are made, before they are proven; a program that fails late "
                   "ends with all heaters off")
        ->excludes("--dry-run");
    options->report.add_to(*command);
    options->log.add_to(*command);
    command->callback([options, &status] { status = run(*options); });
}

}  // namespace durograde::cli
