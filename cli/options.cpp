#include "options.hpp"

#include <spdlog/sinks/rotating_file_sink.h>
#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include "text/diagnostic.hpp"
#include "text/file.hpp"

namespace durograde::cli {
namespace {

constexpr std::size_t earlier_log_files = 5;

spdlog::sink_ptr open_log_file(const std::string& file) {
    constexpr std::size_t size_bytes = 5'000'000;
    try {
        return std::make_shared<spdlog::sinks::rotating_file_sink_mt>(file, size_bytes,
                                                                      earlier_log_files);
    } catch (const spdlog::spdlog_ex& error) {
        throw Failure(Exit::cannot_create,
                      Diagnostic{.code = "cannot-create",
                                 .text = std::string("the log cannot be written: ") + error.what(),
                                 .mend = "name a log file in a folder that can be written",
                                 .place = {file, 0, 0}});
    }
}

}  // namespace

void LogOptions::add_to(CLI::App& command) {
    command.add_option("--log", level, "Log to standard error from this level on")
        ->type_name("LEVEL")
        ->check(CLI::IsMember({"debug", "info", "warn", "error", "off"}));
}

void PlanOptions::add_to(CLI::App& command) {
    command.add_option("-p,--plan", file, "The plan (TOML)")->required()->type_name("PLAN");
    command
        .add_option("--set", settings,
                    "Override a value of the plan, such as heat.idle=20 or tool.1.standby=160: the "
                    "tool with the number 1. Entries of lists that have no numbers go by their "
                    "place, from 0: zone.0.tool=2")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
}

plan::Plan PlanOptions::load(FileGuard& guard) const {
    std::vector<plan::Override> overrides;
    for (const std::string& setting : settings) {
        const std::size_t equals = setting.find('=');
        if (equals == std::string::npos || equals == 0) {
            throw CLI::ValidationError("--set", "wants KEY=VALUE, got \"" + setting + "\"");
        }
        overrides.push_back({setting.substr(0, equals), setting.substr(equals + 1)});
    }
    std::vector<std::string> files;
    const auto tell = [&] {
        for (std::size_t i = 0; i < files.size(); ++i)
            guard.reads(files[i], i == 0 ? "the plan" : files[i] + ", a file of the plan");
    };
    try {
        plan::Plan plan = plan::load(file, overrides, &files);
        tell();
        return plan;
    } catch (const Failure&) {
        tell();
        throw;
    }
}

void ReportOptions::add_to(CLI::App& command) {
    command.add_option("--report", file, "Write the report as JSON (format 1) to FILE")
        ->type_name("FILE");
    command.add_flag("-q,--quiet", quiet, "No report for people");
}

void refuse_terminal(const std::string& input) {
    if (input != "-" || ::isatty(STDIN_FILENO) == 0) return;
    throw CLI::ValidationError("INPUT", "name a file, or pipe one in");
}

std::vector<std::string> log_files(const std::string& file) {
    std::vector<std::string> files;
    for (std::size_t i = 0; !file.empty() && i <= earlier_log_files; ++i)
        files.push_back(spdlog::sinks::rotating_file_sink_mt::calc_filename(file, i));
    return files;
}

void start_log(const LogOptions& options) {
    spdlog::sink_ptr sink;
    if (options.file.empty()) {
        sink = std::make_shared<spdlog::sinks::stderr_sink_mt>();
        sink->set_pattern("durograde: %l: %v");
    } else {
        sink = open_log_file(options.file);
        sink->set_pattern("%Y-%m-%dT%H:%M:%S%z %P %l: %v");
    }
    auto log = std::make_shared<spdlog::logger>("durograde", std::move(sink));
    log->set_level(spdlog::level::from_str(options.level));
    log->flush_on(spdlog::level::info);
    spdlog::set_default_logger(std::move(log));
}

void print(const std::string& text) {
    write_all(STDOUT_FILENO, text, "standard output");
}

void print_for_people(const std::string& text) {
    // A report that cannot be shown is no reason to fail a print that is released.
    try {
        write_all(STDERR_FILENO, text, "standard error");
    } catch (const Failure&) {
    }
}

}  // namespace durograde::cli
