#include <spdlog/spdlog.h>

#include <filesystem>
#include <memory>
#include <optional>

#include "grade/grade.hpp"
#include "grade/mark.hpp"
#include "grade/warnings.hpp"
#include "job.hpp"
#include "options.hpp"
#include "origin.hpp"
#include "originals.hpp"
#include "passing.hpp"
#include "prove.hpp"
#include "report/caution.hpp"
#include "report/outcome.hpp"
#include "text/release.hpp"
#include "text/spool.hpp"

namespace durograde::cli {
namespace {

namespace fs = std::filesystem;

struct HookOptions {
    LogOptions log;
    PlanOptions plan;
    std::string job, to, keep_original;
    bool accepts_cut = false;
};

Failure refuse(Exit exit, const std::string& file, std::string code, std::string text,
               std::string mend) {
    return {exit, Diagnostic{.code = std::move(code),
                             .text = std::move(text),
                             .mend = std::move(mend),
                             .place = {file, 0, 0}}};
}

void need_folder(const std::string& folder, const char* option) {
    std::error_code error;
    if (folder.empty() || fs::is_directory(folder, error)) return;
    throw refuse(Exit::cannot_create, folder, "no-folder",
                 std::string("the folder of ") + option + " is not there", "make the folder first");
}

std::optional<grade::Mark> mark_of(ProgramInput input) {
    LineSource source = input.first_reading();
    return grade::read_mark(source);
}

void need_other_folder(const std::string& to, const std::string& job) {
    std::error_code error;
    if (!fs::equivalent(to, folder_of(job), error)) return;
    throw refuse(Exit::usage, to, "own-folder", "--to names the folder that the job stands in",
                 "name another folder, or leave out --to to grade the job in place");
}

/// What stands at the destination is no work of this job.
Failure taken(const std::string& destination, const std::string& origin) {
    const std::string whose = origin.empty() ? "of another job" : "of the job " + origin;
    return refuse(Exit::busy, destination, "output-taken",
                  "the program that stands there is " + whose + ", of the same name",
                  "try again when it has been taken away, or give jobs names of their own");
}

/// A queue prints what it is given, and nobody looks at a warning.
void refuse_cut(const grade::Figures& figures) {
    for (const Diagnostic& warning : figures.warnings) {
        if (warning.code != grade::cut_short) continue;
        Diagnostic error = warning;
        error.severity = Severity::error;
        error.mend += "; or, where it is whole, give --accept-cut";
        throw Failure(Exit::bad_input, std::move(error));
    }
}

/// One job from lock to release. Each step may throw Failure.
class Hook {
  public:
    Hook(const HookOptions& options, report::Outcome& outcome)
        : options_(options), outcome_(outcome) {}

    void run() {
        guard_.reads(options_.job, "the job");
        load_plan();
        need_folder(options_.to, "--to");
        need_folder(options_.keep_original, "--keep-original");
        job_.emplace(options_.job);
        destination_ = options_.job;
        if (!options_.to.empty()) go_elsewhere();
        if (const auto mark = mark_of(job_->input())) {
            pass_graded(*mark);
        } else if (stands_there()) {
            outcome_.already = true;
            job_->check_in_place();
        } else {
            grade_job();
        }
        outcome_.output = destination_;
    }

  private:
    /// The log is opened when all that is read is known, so that it is none of it.
    void load_plan() {
        try {
            plan_.emplace(options_.plan.load(guard_));
        } catch (const Failure&) {
            open_log();
            throw;
        }
        open_log();
    }

    void open_log() {
        for (const std::string& file : log_files(options_.log.file)) guard_.writes(file, "the log");
        start_log(options_.log);
    }

    void go_elsewhere() {
        need_other_folder(options_.to, options_.job);
        destination_ = fs::path(options_.to) / job_->name();
        guard_.writes(destination_, "the graded program");
    }

    /// The job itself is a graded program: it is passed if it is ours and whole.
    void pass_graded(const grade::Mark& mark) {
        if (mark.plan_digest != plan_->fingerprint) {
            throw refuse(Exit::bad_input, job_->path(), "graded-otherwise",
                         "this job has been graded by another plan",
                         "give the program as it was sliced, or the plan that graded it");
        }
        if (!mark.is_whole) {
            throw refuse(Exit::bad_input, job_->path(), "graded-and-damaged",
                         "this job has been graded, but was cut or changed since",
                         "give the program as it was sliced");
        }
        outcome_.already = true;
        if (options_.to.empty()) return;
        may_replace(mark.input_digest);
        Release copy(destination_);
        job_->input().copy_to(copy.sink());
        release(copy);
    }

    /// With --to: what stands at the destination may be replaced where it is this job's. Throws
    /// Failure otherwise: the one who put it there waits for its print.
    void may_replace(const std::string& input_digest) {
        std::error_code error;
        is_new_ = !fs::exists(destination_, error);
        if (!fs::is_regular_file(destination_, error)) return;
        const std::string origin = origin_of(destination_);
        if (!origin.empty() && origin == origin_path(*job_)) return;
        const auto mark = mark_of(ProgramInput::open(destination_));
        if (!mark || mark->input_digest != input_digest) throw taken(destination_, origin);
    }

    /// With --to: what an earlier run made of this very job is still there, whole.
    [[nodiscard]] bool stands_there() const {
        std::error_code error;
        if (options_.to.empty() || !fs::is_regular_file(destination_, error)) return false;
        const auto mark = mark_of(ProgramInput::open(destination_));
        return mark && mark->is_whole && mark->plan_digest == plan_->fingerprint &&
               mark->input_digest == digest_of(job_->input());
    }

    void grade_job() {
        if (!options_.to.empty()) may_replace(digest_of(job_->input()));
        ProgramInput input = job_->input();
        Release output(destination_);
        grade::Figures figures = grade::grade(input, *plan_, output.sink());
        if (!options_.accepts_cut) refuse_cut(figures);
        outcome_.verdict = prove(*plan_, input, output.rewound(), destination_);
        if (!options_.keep_original.empty())
            outcome_.original = keep_original(*job_, options_.keep_original);
        input.check_unchanged();
        release(output);
        figures.output_name = destination_;
        figures.released = true;
        outcome_.figures = std::move(figures);
    }

    /// The last look at the job comes just before the rename: writing all to the disk takes time.
    void release(Release& output) {
        if (!options_.to.empty()) note_origin(output.rewound(), *job_);
        output.prepare();
        job_->check_in_place();
        if (!is_new_) return output.release();
        if (!output.release_beside()) throw taken(destination_, origin_of(destination_));
    }

    const HookOptions& options_;
    report::Outcome& outcome_;
    FileGuard guard_;
    std::optional<plan::Plan> plan_;
    std::optional<Job> job_;
    std::string destination_;
    bool is_new_ = false;  ///< nothing stood there when the work began
};

std::string log_text(const Diagnostic& diagnostic) {
    // The log tells the severity itself.
    std::string text = format(diagnostic);
    const std::string_view severity =
        diagnostic.severity == Severity::error ? "error: " : "warning: ";
    text.erase(text.find(severity), severity.size());
    while (text.ends_with('\n')) text.pop_back();
    return text;
}

void log(const report::Outcome& outcome) {
    for (const Diagnostic& error : outcome.errors) spdlog::error("{}", log_text(error));
    if (!outcome.errors.empty()) return;
    if (outcome.already) {
        spdlog::info("{}: graded already", outcome.output);
        return;
    }
    for (const Diagnostic& warning : outcome.figures->warnings)
        spdlog::warn("{}", log_text(warning));
    spdlog::info("{}: graded, {} lines, {} swaps", outcome.output, outcome.figures->output_lines,
                 outcome.figures->swaps);
    spdlog::info("{}", report::short_caution);
}

void fail(report::Outcome& outcome, Exit exit, std::vector<Diagnostic> errors) {
    outcome.exit = exit;
    outcome.errors = std::move(errors);
}

int run(const HookOptions& options) {
    start_log({.level = options.log.level, .file = ""});
    report::Outcome outcome;
    outcome.job = options.job;
    // The queue reads what happened from one object, whatever happened.
    try {
        Hook(options, outcome).run();
    } catch (const Failure& failure) {
        fail(outcome, failure.exit(), failure.diagnostics());
    } catch (const std::exception& error) {
        const Failure failure = failure_of(error);
        fail(outcome, failure.exit(), failure.diagnostics());
    }
    log(outcome);
    print(report::json(outcome));
    return static_cast<int>(outcome.exit);
}

}  // namespace

void add_hook(CLI::App& app, int& status) {
    auto options = std::make_shared<HookOptions>();
    options->log.level = "info";
    CLI::App* command = app.add_subcommand(
        "hook",
        "Grade one job of a print queue: in place, once, one at a time, one JSON object on "
        "standard output");
    options->plan.add_to(*command);
    command->add_option("JOBFILE", options->job, "The sliced program, a file")
        ->required()
        ->type_name("JOBFILE");
    CLI::Option* to = command
                          ->add_option("--to", options->to,
                                       "Leave the job as it is and put the graded program into DIR")
                          ->type_name("DIR");
    command
        ->add_option("--keep-original", options->keep_original,
                     "Keep the sliced program in DIR before it is replaced")
        ->type_name("DIR")
        ->excludes(to);
    command->add_flag("--accept-cut", options->accepts_cut,
                      "Grade a program that seems to have been cut short, too");
    options->log.add_to(*command);
    command
        ->add_option("--log-file", options->log.file,
                     "Log to FILE instead, five files of 5 MB in turn")
        ->type_name("FILE");
    command->callback([options, &status] { status = run(*options); });
}

}  // namespace durograde::cli
