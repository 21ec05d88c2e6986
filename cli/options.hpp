#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "plan/load.hpp"

namespace durograde::cli {

/// What the commands share.
struct CommonOptions {
    std::string report_file;            ///< --report
    std::string log_level = "warn";     ///< --log
    std::vector<std::string> settings;  ///< --set KEY=VALUE
    bool quiet = false;                 ///< no report for people

    void add_to(CLI::App& command, bool with_plan);
    /// The overrides of `--set`. Throws CLI::ValidationError where one has no "=".
    [[nodiscard]] std::vector<plan::Override> overrides() const;
};

/// Adds the command's options to `app`; what it does is returned as a callback's exit status.
void add_grade(CLI::App& app, int& status);
void add_inspect(CLI::App& app, int& status);
void add_check(CLI::App& app, int& status);

/// Refuses to wait for a program that nobody types: standard input that is a terminal.
/// Throws CLI::ValidationError.
void refuse_terminal(const std::string& input);

/// Sets up logging to standard error.
void start_log(const std::string& level);

/// The whole text to standard output or standard error; a failed write is an error
/// (Exit::io_error).
void print(const std::string& text);
void print_for_people(const std::string& text);

}  // namespace durograde::cli
