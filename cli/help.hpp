#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace durograde::cli {

/// `help`, `help COMMAND` and `version` as --help and --version; all else as it is.
std::vector<std::string> without_help_words(const CLI::App& app,
                                            std::vector<std::string> arguments);

/// What is said of the first command or option in `arguments` that nobody knows, with the one that
/// was meant if one is near; empty where all are known.
std::string unknown_word(const CLI::App& app, const std::vector<std::string>& arguments);

}  // namespace durograde::cli
