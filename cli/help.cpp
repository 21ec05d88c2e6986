#include "help.hpp"

#include <algorithm>
#include <string_view>

#include "text/diagnostic.hpp"

namespace durograde::cli {
namespace {

const CLI::App* find_command(const CLI::App& app, const std::string& name) {
    const auto commands = app.get_subcommands([](const CLI::App*) { return true; });
    const auto found = std::find_if(commands.begin(), commands.end(),
                                    [&](const CLI::App* one) { return one->check_name(name); });
    return found == commands.end() ? nullptr : *found;
}

/// The command that the arguments name, with those within it.
const CLI::App& command_in(const CLI::App& app, const std::vector<std::string>& arguments) {
    const CLI::App* command = &app;
    for (const std::string& argument : arguments)
        if (const CLI::App* inner = find_command(*command, argument)) command = inner;
    return *command;
}

std::vector<std::string> options_of(const CLI::App& command) {
    std::vector<std::string> names;
    for (const CLI::Option* option : command.get_options()) {
        for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
        for (const std::string& name : option->get_snames()) names.push_back("-" + name);
    }
    return names;
}

std::vector<std::string> commands_of(const CLI::App& app) {
    std::vector<std::string> names = {"help", "version"};
    for (const CLI::App* command : app.get_subcommands([](const CLI::App*) { return true; }))
        names.push_back(command->get_name());
    return names;
}

bool is_option(const std::string& argument) {
    return argument.size() > 1 && argument[0] == '-' && argument != "--";
}

/// "--report=x" as "--report", "-ox" as "-o".
std::string option_name(const std::string& argument) {
    return argument.starts_with("--") ? argument.substr(0, argument.find('='))
                                      : argument.substr(0, 2);
}

/// Empty where the name is a known one.
std::string complaint(const std::string& what, const std::string& name,
                      const std::vector<std::string>& known) {
    if (std::find(known.begin(), known.end(), name) != known.end()) return {};
    // A single letter is near to every other one.
    const bool has_neighbours = !name.starts_with('-') || name.size() > 2;
    const std::string_view meant =
        has_neighbours ? nearest(name, {known.begin(), known.end()}) : "";
    const std::string text = "there is no " + what + " " + name;
    return meant.empty() ? text : text + ": did you mean " + std::string(meant) + "?";
}

}  // namespace

std::vector<std::string> without_help_words(const CLI::App& app,
                                            std::vector<std::string> arguments) {
    if (arguments.empty()) return arguments;
    if (arguments == std::vector<std::string>{"version"}) return {"--version"};
    if (arguments.front() != "help") return arguments;
    if (arguments.size() > 1 && find_command(app, arguments[1]) == nullptr) return arguments;
    arguments.erase(arguments.begin());
    arguments.emplace_back("--help");
    return arguments;
}

std::string unknown_word(const CLI::App& app, const std::vector<std::string>& arguments) {
    for (const std::string& word : arguments) {
        if (is_option(word)) continue;
        if (std::string text = complaint("command", word, commands_of(app)); !text.empty())
            return text;
        if (word != "help") break;
    }
    const std::vector<std::string> known = options_of(command_in(app, arguments));
    for (const std::string& argument : arguments) {
        if (argument == "--") break;
        if (!is_option(argument)) continue;
        if (std::string text = complaint("option", option_name(argument), known); !text.empty())
            return text;
    }
    return {};
}

}  // namespace durograde::cli
