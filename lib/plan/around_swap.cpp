#include "plan/around_swap.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string>

namespace durograde::plan {
namespace {

/// The letter and number that a line begins with, in capitals: "G1" of "g01 X2". Empty where it
/// begins otherwise.
std::string command_of(std::string_view line) {
    const auto upper = [](char c) {
        return static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
    };
    const char letter = upper(line.front());
    std::string_view digits = line.substr(1);
    digits = digits.substr(0, std::min(digits.find_first_not_of("0123456789"), digits.size()));
    if (digits.empty()) return {};
    while (digits.size() > 1 && digits.front() == '0') digits.remove_prefix(1);
    return letter + std::string(digits);
}

bool is_letter(char c) {
    return std::isalpha(static_cast<unsigned char>(c)) != 0;
}

/// Begins with the name of a macro: letters, such as DOCK_TOOL.
bool is_macro(std::string_view line) {
    return line.size() > 1 && is_letter(line[0]) && (is_letter(line[1]) || line[1] == '_');
}

/// A further command, or a tool's number, behind the first word.
bool names_more(std::string_view line) {
    for (std::size_t at = line.find(' '); at != std::string_view::npos; at = line.find(' ', at)) {
        ++at;
        if (at + 1 >= line.size()) return false;
        const auto letter = std::toupper(static_cast<unsigned char>(line[at]));
        const bool leads = letter == 'G' || letter == 'M' || letter == 'T';
        const char next = line[at + 1];
        if (leads && (next == '{' || (next >= '0' && next <= '9'))) return true;
    }
    return false;
}

template <std::size_t count>
bool is_one_of(const std::string& command, const std::array<std::string_view, count>& list) {
    return std::find(list.begin(), list.end(), command) != list.end();
}

constexpr std::array<std::string_view, 5> moves = {"G0", "G1", "G2", "G3", "G28"};
constexpr std::array<std::string_view, 8> heats = {"M104", "M109", "M116", "M568",
                                                   "M140", "M190", "M141", "M191"};
constexpr std::array<std::string_view, 29> says = {
    "G10",  "G11",  "G20",  "G21",  "G52",  "G53",  "G54",  "G55",  "G56",  "G57",
    "G58",  "G59",  "G90",  "G91",  "G92",  "M73",  "M82",  "M83",  "M106", "M107",
    "M200", "M201", "M203", "M204", "M205", "M220", "M221", "M486", "M566"};

}  // namespace

std::optional<Unfit> unfit_around_swap(std::string_view line) {
    const bool has_blank_ends =
        line.empty() || line.front() == ' ' || line.back() == ' ' || line.front() == '\t';
    // A comment alone says nothing; what a graded program declares by comments is another matter.
    if (!has_blank_ends && line.front() == ';' && !line.starts_with("; durograde"))
        return std::nullopt;
    if (has_blank_ends || line.find_first_of(";(") != std::string_view::npos)
        return Unfit{"a line here is a command or a comment alone",
                     "take out blanks around it, write a comment as a line of its own, or take the "
                     "line out"};
    const std::string command = command_of(line);
    if (is_one_of(command, moves))
        return Unfit{
            "the way to and from a swap is written by durograde, and a move here would "
            "not be known to it",
            "put the moves into a macro of the controller and call it here"};
    if (is_one_of(command, heats))
        return Unfit{"temperatures are set by the schedule alone",
                     "take it out; machine.write.set and machine.write.wait say how"};
    if (is_one_of(command, says))
        return Unfit{
            "it changes what the program has said",
            "take it out: what holds after a swap is said anew where the program needs it"};
    const bool is_command = !command.empty() && (command.front() == 'G' || command.front() == 'M');
    const bool selects = (line.front() == 'T' || line.front() == 't') && !is_macro(line);
    if (selects || (is_command && names_more(line)))
        return Unfit{"it selects a tool, or says two things at once",
                     "write one command a line; machine.write.select says how tools are taken"};
    if (is_command || is_macro(line)) return std::nullopt;
    return Unfit{"it begins with no command",
                 "begin with a letter G or M and its number, or with the name of a macro"};
}

}  // namespace durograde::plan
