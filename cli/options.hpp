#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

#include "plan/load.hpp"
#include "text/file_guard.hpp"

namespace durograde::cli {

/// Where log lines go, and from which level on.
struct LogOptions {
    std::string level = "warn";  ///< --log
    std::string file;            ///< empty: standard error

    void add_to(CLI::App& command);
};

/// The plan and what overrides its values.
struct PlanOptions {
    std::string file;                   ///< --plan
    std::vector<std::string> settings;  ///< --set KEY=VALUE

    void add_to(CLI::App& command);
    /// Loads the plan; `guard` learns of every file that this reads, also where the plan is wrong.
    /// Throws Failure as plan::load does, CLI::ValidationError where a setting has no "=".
    [[nodiscard]] plan::Plan load(FileGuard& guard) const;
};

/// Reports of a command that people run by hand.
struct ReportOptions {
    std::string file;    ///< --report
    bool quiet = false;  ///< no report for people

    void add_to(CLI::App& command);
};

/// Adds a command to `app`; its exit status is put into `status` when it has run.
void add_grade(CLI::App& app, int& status);
void add_inspect(CLI::App& app, int& status);
void add_check(CLI::App& app, int& status);
void add_hook(CLI::App& app, int& status);
void add_fit(CLI::App& app, int& status);

/// Refuses to wait for a program that nobody types: standard input that is a terminal.
/// Throws CLI::ValidationError.
void refuse_terminal(const std::string& input);

/// The files that logging to `file` writes, those of earlier turns too; none where it is empty.
std::vector<std::string> log_files(const std::string& file);

/// Sets up logging. Throws Failure (Exit::cannot_create) where the file cannot be written.
void start_log(const LogOptions& options);

/// The whole text to standard output or standard error; a failed write is an error
/// (Exit::io_error).
void print(const std::string& text);
void print_for_people(const std::string& text);

}  // namespace durograde::cli
