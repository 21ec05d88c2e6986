#include "mutator.hpp"

#include <algorithm>
#include <cctype>
#include <iterator>

namespace durograde::fuzz {
namespace {

std::vector<std::string> lines_of(std::string_view text) {
    std::vector<std::string> lines;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
        lines.emplace_back(text.substr(0, end));
        text.remove_prefix(end);
    }
    return lines;
}

std::string joined(const std::vector<std::string>& lines) {
    std::string text;
    for (const std::string& line : lines) text += line;
    return text;
}

bool is_part_of_number(char byte) {
    return std::isdigit(static_cast<unsigned char>(byte)) != 0 || byte == '.' || byte == '-';
}

/// Where numbers begin and end in a line.
std::vector<std::pair<std::size_t, std::size_t>> numbers_of(const std::string& line) {
    std::vector<std::pair<std::size_t, std::size_t>> numbers;
    for (std::size_t at = 0; at < line.size(); ++at) {
        if (!is_part_of_number(line[at])) continue;
        const std::size_t begin = at;
        while (at < line.size() && is_part_of_number(line[at])) ++at;
        numbers.emplace_back(begin, at);
    }
    return numbers;
}

}  // namespace

std::size_t LineMutator::pick(std::size_t below) {
    return std::uniform_int_distribution<std::size_t>(0, below - 1)(random_);
}

std::string LineMutator::change(std::string_view text, const std::vector<std::string_view>& words) {
    Lines lines = lines_of(text);
    if (lines.empty() || pick(6) == 0) {
        const auto at = static_cast<std::ptrdiff_t>(pick(lines.size() + 1));
        lines.insert(lines.begin() + at, std::string(words[pick(words.size())]) + "\n");
    } else if (pick(2) == 0) {
        change_lines(lines);
    } else {
        change_line(lines[pick(lines.size())]);
    }
    return joined(lines);
}

void LineMutator::change_lines(Lines& lines) {
    const std::size_t from = pick(lines.size());
    const std::size_t count = std::min(pick(pick(4) == 0 ? 12 : 2) + 1, lines.size() - from);
    const auto first = lines.begin() + static_cast<std::ptrdiff_t>(from);
    const auto last = first + static_cast<std::ptrdiff_t>(count);
    Lines taken(first, last);
    switch (pick(4)) {
        case 0:  // dropped
            lines.erase(first, last);
            return;
        case 1:  // swapped with another
            std::swap(lines[from], lines[pick(lines.size())]);
            return;
        case 2:  // moved
            lines.erase(first, last);
            break;
        default:  // doubled
            break;
    }
    const auto to = static_cast<std::ptrdiff_t>(pick(lines.size() + 1));
    lines.insert(lines.begin() + to, taken.begin(), taken.end());
}

void LineMutator::change_line(std::string& line) {
    switch (pick(6)) {
        case 0:
            return change_letter(line);
        case 1:
            return drop_word(line);
        default:
            return change_number(line);
    }
}

void LineMutator::change_number(std::string& line) {
    static const std::vector<std::string_view> others = {
        "0",    "1",     "-1",      "0.0001", "0.001", "0.01",  "0.1",  "0.2",
        "0.35", "-0.5",  "1.5",     "5",      "10",    "12.7",  "20",   "25.4",
        "90",   "150.0", "0.00001", "200",    "230",   "99999", "1800", "999999999999999"};
    const auto numbers = numbers_of(line);
    if (numbers.empty()) return change_letter(line);
    const auto [begin, end] = numbers[pick(numbers.size())];
    const std::string old = line.substr(begin, end - begin);
    switch (pick(4)) {
        case 0: {  // another digit
            const std::size_t at = begin + pick(end - begin);
            line[at] = static_cast<char>('0' + pick(10));
            return;
        }
        case 1:  // the other sign
            line.replace(begin, end - begin, old[0] == '-' ? old.substr(1) : "-" + old);
            return;
        case 2:  // more decimals
            line.insert(end,
                        old.find('.') == std::string::npos ? ".5" : std::to_string(pick(1000)));
            return;
        default:
            line.replace(begin, end - begin, others[pick(others.size())]);
            return;
    }
}

void LineMutator::change_letter(std::string& line) {
    constexpr std::string_view letters = "XYZEFGMTSPRIJNDHxyze;(*/ \"";
    if (line.empty()) return;
    const std::size_t at = pick(line.size());
    if (line[at] == '\n') {
        line.insert(at, 1, letters[pick(letters.size())]);
    } else {
        line[at] = letters[pick(letters.size())];
    }
}

void LineMutator::drop_word(std::string& line) {
    std::vector<std::size_t> blanks;
    for (std::size_t at = 0; at < line.size(); ++at) {
        if (line[at] == ' ') blanks.push_back(at);
    }
    if (blanks.empty()) return change_letter(line);
    const std::size_t begin = blanks[pick(blanks.size())];
    const std::size_t end = line.find_first_of(" \n", begin + 1);
    line.erase(begin, std::min(end, line.size()) - begin);
}

std::string LineMutator::splice(std::string_view text, std::string_view other) {
    Lines lines = lines_of(text);
    const Lines source = lines_of(other);
    if (source.empty()) return std::string(text);
    const std::size_t from = pick(source.size());
    const std::size_t count = std::min(pick(20) + 1, source.size() - from);
    const auto first = source.begin() + static_cast<std::ptrdiff_t>(from);
    const auto to = static_cast<std::ptrdiff_t>(pick(lines.size() + 1));
    lines.insert(lines.begin() + to, first, first + static_cast<std::ptrdiff_t>(count));
    return joined(lines);
}

const std::vector<std::string_view>& program_words() {
    static const std::vector<std::string_view> words = {"G0 X10 Y10 F6000",
                                                        "G1 X12 Y10 E0.2 F1200",
                                                        "G1 X10.5 E0.1",
                                                        "G1 Y10 E-0.3",
                                                        "G1 E-1 F2100",
                                                        "G1 E1 F2100",
                                                        "G1 F600",
                                                        "G1 Z0.4 F720",
                                                        "G2 X12 Y10 I1 J0 E0.2",
                                                        "G3 X10 Y10 I-1 J0 E0.2",
                                                        "G3 X10 Y10 R3 E0.2",
                                                        "G2 I2 J0 E0.5",
                                                        "X10",
                                                        "E0.1",
                                                        "F900",
                                                        "G4 P500",
                                                        "G10",
                                                        "G11",
                                                        "G10 P1 S200",
                                                        "G17",
                                                        "G18",
                                                        "G19",
                                                        "G20",
                                                        "G21",
                                                        "G28",
                                                        "G28 X",
                                                        "G53 G1 X10 Y10",
                                                        "G54",
                                                        "G80",
                                                        "G90",
                                                        "G91",
                                                        "G92 E0",
                                                        "G92 X10 Y10",
                                                        "G92 Z0.2",
                                                        "G92",
                                                        "M82",
                                                        "M83",
                                                        "M104 S200",
                                                        "M104 T1 S230",
                                                        "M104 S0",
                                                        "M109 S200",
                                                        "M109 R180",
                                                        "M116",
                                                        "M106 S128",
                                                        "M106 P1 S128",
                                                        "M106",
                                                        "M107",
                                                        "M140 S60",
                                                        "M190 S60",
                                                        "M200 D1.75",
                                                        "M200 D0",
                                                        "M201 X500 Y500",
                                                        "M203 X100",
                                                        "M204 S800",
                                                        "M204 P900 T1500",
                                                        "M205 X8 Y8",
                                                        "M220 S80",
                                                        "M221 S95",
                                                        "M486 S0",
                                                        "M486 S1",
                                                        "M486 S-1",
                                                        "M486 T2",
                                                        "M73 P50 R3",
                                                        "M8572 D0 S0.05",
                                                        "M300",
                                                        "M84",
                                                        "T0",
                                                        "T1",
                                                        "T2",
                                                        "T9",
                                                        "T77",
                                                        "N10 G1 X11",
                                                        "N11 G1 X11*83",
                                                        "N20 M110 N100",
                                                        "; a comment",
                                                        "(a comment) G1 X11 E0.1",
                                                        "/G1 X11 E0.1",
                                                        "BEGIN_SHEET BED=60",
                                                        "; durograde: prime begins",
                                                        "; durograde: prime ends",
                                                        "",
                                                        "\r"};
    return words;
}

const std::vector<std::string_view>& plan_words() {
    static const std::vector<std::string_view> words = {
        "hop = 0.3",
        "fan = [0.3, 0.7]",
        "max_flow = 1.5",
        "wipe = { length = 1.0, speed = 80 }",
        "retract = { length = 0.8, speed = 35, restart = 0.05, restart_speed = 25 }",
        "prime = { where = \"start\", length = 0.4 }",
        "prime = { where = \"spot\", x = 3, y = 3, length = 0.4 }",
        "heater = { rise = 4.0, loss = 0.01, ambient = 25 }",
        "standby = 150",
        "standby = \"auto\"",
        "ready = 1.0",
        "[order]",
        "parts = \"input\"",
        "[strings]",
        "gap = 1.0",
        "[heat]",
        "horizon = 60",
        "idle = 3",
        "[split]",
        "shortest = 0.3",
        "step = 0.05",
        "tolerance = 0.01",
        "[machine.write]",
        "before_swap = [\"M841 S{from}\"]",
        "after_swap = [\"M842 X{x} Y{y} Z{z}\"]",
        "select = \"T{to} P0\"",
        "set = \"G10 P{tool} S{temperature}\"",
        "[machine.reads]",
        "g10 = \"tool\"",
        "distance_mode_sets_e = false",
        "set_also_standby = true",
        "dwell_p = \"s\"",
        "fan_full = 1",
        "[machine]",
        "settings = [\"M8572\"]",
        "swap_time = 3",
        "cornering = { jerk = { x = 9, y = 7, z = 0.6, e = 3 } }",
        "outside = \"keep\"",
        "outside = 1",
        "tool = \"keep\"",
        "tool = 0",
        "where = \"x * y > 3.0017\"",
        "where = \"layer < 1\"",
        "where = \"distance(tongue) <= 2.0137\"",
        "where = \"hypot(x, y) < 3.0171 and not z > 0.3\""};
    return words;
}

}  // namespace durograde::fuzz
