#include "options.hpp"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include "text/file.hpp"

namespace durograde::cli {

void CommonOptions::add_to(CLI::App& command, bool with_plan) {
    command.add_option("--report", report_file, "Write the report as JSON (format 1) to FILE")
        ->type_name("FILE");
    command.add_option("--log", log_level, "Log to standard error from this level on")
        ->type_name("LEVEL")
        ->check(CLI::IsMember({"debug", "info", "warn", "error", "off"}));
    command.add_flag("-q,--quiet", quiet, "No report for people on standard error");
    if (!with_plan) return;
    command
        .add_option("--set", settings,
                    "Override a value of the plan, such as heat.idle=20 or tool.0.standby=160")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
}

std::vector<plan::Override> CommonOptions::overrides() const {
    std::vector<plan::Override> list;
    for (const std::string& setting : settings) {
        const std::size_t equals = setting.find('=');
        if (equals == std::string::npos || equals == 0) {
            throw CLI::ValidationError("--set", "wants KEY=VALUE, got \"" + setting + "\"");
        }
        list.push_back({setting.substr(0, equals), setting.substr(equals + 1)});
    }
    return list;
}

void refuse_terminal(const std::string& input) {
    if (input != "-" || ::isatty(STDIN_FILENO) == 0) return;
    throw CLI::ValidationError("INPUT", "name a sliced program, or pipe one in");
}

void start_log(const std::string& level) {
    auto log = std::make_shared<spdlog::logger>("durograde",
                                                std::make_shared<spdlog::sinks::stderr_sink_mt>());
    log->set_pattern("durograde: %l: %v");
    log->set_level(spdlog::level::from_str(level));
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
