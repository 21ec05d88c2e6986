#include <fcntl.h>

#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <exception>
#include <iostream>
#include <new>
#include <string>
#include <vector>

#include "help.hpp"
#include "options.hpp"
#include "passing.hpp"
#include "text/diagnostic.hpp"
#include "version.hpp"

namespace {

constexpr const char* footer = R"(Examples:
  durograde grade -p plan.toml --dry-run sheet.gcode     what would change, and what it costs
  durograde grade -p plan.toml < sheet.gcode > graded.gcode
  durograde inspect sheet.gcode                          what the program holds
  durograde check -p plan.toml sheet.gcode graded.gcode  prove a graded program
  durograde hook -p plan.toml job.gcode                  grade a job of a print queue in place
  durograde fit heater log.csv                           a tool's heater from its log
  durograde help grade                                   a command's options; version: which this is

Exit status: 0 done, 64 usage, 65 input cannot be graded, 66 no input, 70 check failed,
73 cannot create output, 74 reading or writing failed, 75 try later (job is busy, or no
memory or threads to be had), 78 plan is wrong.)";

/// A standard stream that was closed by the caller would give its number to the next file that is
/// opened, and messages would land in it. Its place is taken by a file on which every use of it
/// fails.
void occupy_closed_streams() {
    constexpr int modes[] = {O_WRONLY, O_RDONLY, O_RDONLY};
    for (int stream = 0; stream < 3; ++stream) {
        if (::fcntl(stream, F_GETFD) >= 0) continue;
        // The lowest free number is given, so that it is this one.
        if (::open("/dev/null", modes[stream]) != stream) std::_Exit(EXIT_FAILURE);
    }
}

int fail(const durograde::Failure& failure) {
    constexpr std::size_t most_shown = 20;
    const auto& list = failure.diagnostics();
    for (std::size_t i = 0; i < list.size() && i < most_shown; ++i) std::cerr << format(list[i]);
    if (list.size() > most_shown) std::cerr << "and " << list.size() - most_shown << " more\n";
    return static_cast<int>(failure.exit());
}

/// Help and version end well; every other complaint about the command line is status 64.
int command_line_status(const CLI::App& app, const CLI::ParseError& error,
                        const std::vector<std::string>& arguments) {
    // A misspelt --plan is missing too: what is said first is what is wrong.
    const std::string unknown =
        error.get_exit_code() == 0 ? "" : durograde::cli::unknown_word(app, arguments);
    if (!unknown.empty()) {
        std::cerr << unknown << "\nRun with --help for more information.\n";
        return static_cast<int>(durograde::Exit::usage);
    }
    const int status = app.exit(error);
    if (!std::cout.flush()) return static_cast<int>(durograde::Exit::io_error);
    return status == 0 ? 0 : static_cast<int>(durograde::Exit::usage);
}

int run(int argc, char** argv) {
    using namespace durograde;
    CLI::App app("Temperature-graded multi-tool prints from any sliced program.");
    app.name("durograde");
    app.footer(footer);
    app.set_version_flag("-V,--version", "durograde " + std::string(version));
    app.require_subcommand(1);
    int status = 0;
    cli::add_grade(app, status);
    cli::add_inspect(app, status);
    cli::add_check(app, status);
    cli::add_hook(app, status);
    cli::add_fit(app, status);
    const std::vector<std::string> arguments =
        cli::without_help_words(app, {argv + std::min(argc, 1), argv + argc});
    try {
        app.parse(std::vector<std::string>(arguments.rbegin(), arguments.rend()));
    } catch (const CLI::ParseError& error) {
        return command_line_status(app, error, arguments);
    }
    return status;
}

}  // namespace

int main(int argc, char** argv) {
    occupy_closed_streams();
    // A file that grows past a limit must be an error that is told, not a silent end.
    std::signal(SIGXFSZ, SIG_IGN);
    try {
        return run(argc, argv);
    } catch (const durograde::Failure& failure) {
        return fail(failure);
    } catch (const std::bad_alloc&) {
        // Told without asking for more.
        std::cerr << "durograde: error: out of memory [no-memory]\n"
                     "  fix: try again when there is more, or allow more\n";
        return static_cast<int>(durograde::Exit::busy);
    } catch (const std::exception& error) {
        return fail(durograde::cli::failure_of(error));
    }
}
