#include "check/check.hpp"

#include <unistd.h>

#include <array>
#include <initializer_list>
#include <memory>
#include <optional>

#include "options.hpp"
#include "report/verdict.hpp"
#include "text/diagnostic.hpp"
#include "text/file_kind.hpp"
#include "text/program_input.hpp"
#include "text/release.hpp"

namespace durograde::cli {
namespace {

struct CheckOptions {
    LogOptions log;
    PlanOptions plan;
    ReportOptions report;
    std::string before, after;
};

void need_programs(std::initializer_list<ProgramInput*> inputs) {
    for (ProgramInput* input : inputs) {
        std::array<char, 512> begin{};
        const ssize_t count = ::pread(input->rewindable(), begin.data(), begin.size(), 0);
        const std::size_t size = count > 0 ? static_cast<std::size_t>(count) : 0;
        const auto kind = foreign_kind({begin.data(), size});
        if (!kind) continue;
        throw Failure(Exit::bad_input,
                      Diagnostic{.code = "not-a-program",
                                 .text = "this looks like " + std::string(kind->name),
                                 .mend = std::string(kind->mend),
                                 .place = {input->name(), 0, 0}});
    }
}

int run(const CheckOptions& options) {
    start_log(options.log);
    FileGuard guard;
    const plan::Plan plan = options.plan.load(guard);
    guard.reads(options.before, "the sliced program");
    guard.reads(options.after, "the graded program");
    if (!options.report.quiet) guard.writes("-", "the report for people");
    if (!options.report.file.empty()) guard.writes(options.report.file, "the report");
    ProgramInput before = ProgramInput::open(options.before);
    ProgramInput after = ProgramInput::open(options.after);
    std::optional<Release> report;
    if (!options.report.file.empty()) report.emplace(options.report.file);
    if (!plan.asks_nothing()) need_programs({&before, &after});
    const check::Verdict verdict =
        check::check(plan, before.rewindable(), before.name(), after.rewindable(), after.name());
    if (report) {
        report->sink().write(report::json(verdict));
        report->release();
    }
    if (!options.report.quiet) print(report::text(verdict));
    return static_cast<int>(verdict.held() ? Exit::done : Exit::check_failed);
}

}  // namespace

void add_check(CLI::App& app, int& status) {
    auto options = std::make_shared<CheckOptions>();
    CLI::App* command = app.add_subcommand(
        "check",
        "Prove that AFTER is BEFORE graded by the plan: twelve checks, by code of its own");
    options->plan.add_to(*command);
    command->add_option("BEFORE", options->before, "The sliced program")
        ->required()
        ->type_name("FILE");
    command->add_option("AFTER", options->after, "The graded program")
        ->required()
        ->type_name("FILE");
    options->report.add_to(*command);
    options->log.add_to(*command);
    command->callback([options, &status] { status = run(*options); });
}

}  // namespace durograde::cli
