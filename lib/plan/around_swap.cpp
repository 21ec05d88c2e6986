#include "plan/around_swap.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <variant>

#include "plan/keys.hpp"

namespace durograde::plan {
namespace {

using grammar::Word;

constexpr double mm_per_inch = 25.4;

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t";
    text.remove_prefix(std::min(text.find_first_not_of(blanks), text.size()));
    return text.substr(0, text.find_last_not_of(blanks) + 1);
}

/// Code of a G or M word in tenths; -1 where it is none.
int tenths_of(const Word& word) {
    if (word.value != grammar::Value::number || word.mantissa < 0) return -1;
    const double tenths = word.number() * 10;
    return tenths < 100'000 && tenths == std::round(tenths) ? static_cast<int>(tenths) : -1;
}

template <std::size_t count>
bool is_one_of(int code, const std::array<int, count>& list) {
    return std::find(list.begin(), list.end(), code) != list.end();
}

// Codes in tenths.
constexpr std::array<int, 8> heats = {1040, 1090, 1160, 5680, 1400, 1900, 1410, 1910};
constexpr std::array<int, 8> sets = {2000, 2010, 2030, 2040, 2050, 5660, 4860, 730};
constexpr std::array<int, 14> zeros = {170, 180, 190, 520, 530, 540, 550,
                                       560, 570, 580, 590, 591, 592, 593};
constexpr std::array<int, 6> ends = {20, 300, 60, 8080, 990, 1120};
constexpr std::array<int, 5> tells = {1050, 1170, 1180, 3000, 4000};

Unfit unreadable() {
    return {"it cannot be read", "write one command a line, letters with plain numbers"};
}

Unfit two_things() {
    return {"it selects a tool, or says two things at once",
            "write one command a line; machine.write.select says how tools are taken"};
}

Unfit stray_word(const Word& word) {
    return {std::string("the word ") + word.letter + " does not belong to this command",
            "take it out, or write one command a line"};
}

}  // namespace

std::string_view plain_swap_line(std::string_view text) {
    text = trimmed(text);
    if (text.empty() || text.front() == ';') return text;
    return trimmed(text.substr(0, text.find(';')));
}

void AroundSwap::select() {
    relative_ = inch_ = says_numbers_ = false;
}

bool AroundSwap::is_open(const Word& word) const {
    return std::any_of(open_.begin(), open_.end(),
                       [&](std::uint32_t at) { return at >= word.begin && at < word.end; });
}

bool AroundSwap::is_listed(const std::vector<std::string>& list) const {
    const Word& first = line_.words[0];
    const std::string name = first.letter + filled_.substr(first.begin, first.end - first.begin);
    return std::find(list.begin(), list.end(), name) != list.end();
}

std::optional<Unfit> AroundSwap::add(std::string_view text) {
    ++count_;
    text = plain_swap_line(text);
    if (text.empty()) return std::nullopt;
    // What a graded program declares by comments is another matter.
    if (text.starts_with("; durograde") || text.starts_with("; graded by durograde"))
        return Unfit{"a graded program declares itself by such lines",
                     "begin the comment with other words"};
    if (text.front() == ';') return std::nullopt;
    const auto parsed = grammar::parse_command_template(text);
    const auto* command = std::get_if<grammar::CommandTemplate>(&parsed);
    if (command == nullptr) return std::nullopt;  // told where it is parsed
    filled_.clear();
    open_.clear();
    for (const grammar::TemplatePart& part : command->parts) {
        if (part.slot != grammar::Slot::text) {
            open_.push_back(static_cast<std::uint32_t>(filled_.size()));
            filled_ += '1';
        } else {
            filled_ += part.text;
        }
    }
    return add_command(filled_);
}

std::optional<Unfit> AroundSwap::add_command(const std::string& text) {
    grammar::parse_line(text, line_);
    if (line_.has_number || line_.has_checksum)
        return Unfit{"line numbers and checksums are put by durograde, as the program has them",
                     "take them out"};
    if (line_.has_inline_comment || line_.deleted)
        return Unfit{"a comment in brackets, or a line that may be skipped, cannot stand here",
                     "write the comment behind a ; on a line of its own"};
    if (line_.word_count == 0) return unreadable();
    const Word& first = line_.words[0];
    if (line_.extended) {
        if (!text.starts_with("while ") && !text.starts_with("repeat ") &&
            std::isalpha(static_cast<unsigned char>(text.front())) != 0)
            return std::nullopt;
        return Unfit{"a block that is run several times cannot stand here",
                     "write the rounds out, or put them into a macro of the controller"};
    }
    if (is_open(first)) return Unfit{"which command it is would not be known", "write its number"};
    const int code = tenths_of(first);
    if (first.letter == 'M' && code >= 0 && (is_one_of(code, tells) || is_listed(machine_.tells)))
        return std::nullopt;
    if (line_.is_malformed()) return unreadable();
    if (first.letter != 'G' && first.letter != 'M') {
        if (first.letter == 'T') return two_things();
        return Unfit{"it begins with no command",
                     "begin with a letter G or M and its number, or with the name of a macro"};
    }
    if (code < 0) return unreadable();
    for (std::uint32_t i = 1; i < line_.word_count; ++i) {
        const char letter = line_.words[i].letter;
        if (letter == 'G' || letter == 'M' || letter == 'T') return two_things();
    }
    if (line_.repeated != 0) return unreadable();
    if (is_listed(machine_.settings)) return add_m(sets[0]);
    return first.letter == 'G' ? add_g(code) : add_m(code);
}

std::optional<Unfit> AroundSwap::add_g(int code) {
    if (code == 0 || code == 10) return add_move();
    if (code == 20 || code == 30)
        return Unfit{"arcs cannot stand here", "write a wiper's strokes as straight ones, G1"};
    if (code == 200 || code == 210 || code == 900 || code == 910) return add_mode(code);
    if (code == 920) {
        const bool counts = line_.word_count == 2 && line_.words[1].letter == 'E' &&
                            line_.words[1].value == grammar::Value::number;
        says_numbers_ = true;
        if (counts) return std::nullopt;
        return Unfit{"it moves the zero that the program's places count from",
                     "give G92 an E with its number alone"};
    }
    if (code == 100 || code == 110)
        return Unfit{machine_.read.g10 == RetractOrTool::tool && line_.word_count > 1
                         ? "temperatures are set by the schedule alone"
                         : "how far the machine retracts by itself is not known here",
                     "a tool's `retract` retracts before a swap; else write G1 E with a number"};
    if (code == 280) {
        if (line_.find('Z') == nullptr && line_.word_count > 1) return std::nullopt;
        return Unfit{"homing Z amid a print goes down onto what is printed",
                     "name X or Y alone, or leave it to a macro that knows the way"};
    }
    if (is_one_of(code, zeros))
        return Unfit{"it changes what the program's places count from",
                     "take it out, or put it into a macro that puts it back"};
    if (line_.find('E') != nullptr)
        return Unfit{"how much it feeds, and where, is not known here", "feed by G1 alone"};
    return std::nullopt;
}

std::optional<Unfit> AroundSwap::add_m(int code) {
    if (code == 820 || code == 830) return add_mode(code);
    if (code == 1060 || code == 1070 || code == 2200 || code == 2210) return add_override(code);
    if (is_one_of(code, heats))
        return Unfit{"temperatures are set by the schedule alone",
                     "take it out; machine.write.set and machine.write.wait say how, and the wait "
                     "comes right behind these lines"};
    if (is_one_of(code, sets))
        return Unfit{"it sets what beads are printed with, and a program need not say it again",
                     "take it out, or put it into a macro that puts it back"};
    if (is_one_of(code, ends))
        return Unfit{"it ends the program, runs lines several times, or changes the tool",
                     "take it out; machine.write.select says how tools are taken"};
    return std::nullopt;
}

std::optional<Unfit> AroundSwap::add_move() {
    says_numbers_ = true;
    for (std::uint32_t i = 1; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        if (word.value != grammar::Value::number) return unreadable();
        std::optional<Unfit> unfit;
        if (word.letter >= 'X' && word.letter <= 'Z')
            unfit = unfit_axis(word);
        else if (word.letter == 'F')
            unfit = unfit_feed(word);
        else if (word.letter != 'E')
            unfit = stray_word(word);
        if (unfit) return unfit;
    }
    return std::nullopt;
}

/// Where increments lead to is known where the swap is made.
std::optional<Unfit> AroundSwap::unfit_axis(const Word& word) const {
    if (relative_ || is_open(word)) return std::nullopt;
    const Range& range = word.letter == 'X'   ? machine_.reach_x
                         : word.letter == 'Y' ? machine_.reach_y
                                              : machine_.reach_z;
    const double mm = word.number() * (inch_ ? mm_per_inch : 1.0);
    if (!(mm < range.low || mm > range.high)) return std::nullopt;
    return Unfit{std::string(1, word.letter) + " " + shown(mm) + " lies beyond the machine's reach",
                 "machine.reach goes from " + shown(range.low) + " to " + shown(range.high) +
                     " there: correct the one or the other"};
}

std::optional<Unfit> AroundSwap::unfit_feed(const Word& word) const {
    if (is_open(word)) return std::nullopt;
    const double mm_min = word.number() * (inch_ ? mm_per_inch : 1.0);
    const double most = 60 * std::max({machine_.speed.x, machine_.speed.y, machine_.speed.z});
    if (!(mm_min > 0)) return Unfit{"a feed must be above zero", "give F in units a minute"};
    if (!(mm_min > most)) return std::nullopt;
    return Unfit{"F of " + shown(mm_min) + " mm/min is faster than the machine",
                 "write at most " + shown(most) + ", or correct machine.speed"};
}

std::optional<Unfit> AroundSwap::add_mode(int code) {
    if (line_.word_count > 1) return stray_word(line_.words[1]);
    says_numbers_ = true;
    if (code == 200 || code == 210) {
        says_units_ = true;
        inch_ = code == 200;
    }
    if (code == 900 || code == 910) relative_ = code == 910;
    return std::nullopt;
}

/// The fan, and what feed and flow are multiplied by. What the program has said of them is said
/// anew after the swap; what it has not is to be as it was before anybody said anything.
std::optional<Unfit> AroundSwap::add_override(int code) {
    std::string what = std::to_string(code == 1070 ? 1060 : code);
    double value = code == 1060 ? machine_.read.fan_full : code == 1070 ? 0.0 : 100.0;
    for (std::uint32_t i = 1; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        const bool names_fan = word.letter == 'P' && code < 1080;
        if (word.value != grammar::Value::number || is_open(word)) return unreadable();
        if (names_fan) {
            what += " P" + shown(word.number());
        } else if (word.letter == 'S') {
            value = word.number();
        } else {
            return stray_word(word);
        }
    }
    if (value < 0 || (code >= 2000 && value == 0)) return unreadable();
    const double neutral = code < 1080 ? 0.0 : 100.0;
    if (value == neutral) {
        left_.erase(what);
    } else {
        left_.insert_or_assign(what, count_ - 1);
    }
    return std::nullopt;
}

std::optional<AroundSwap::Leftover> AroundSwap::leftover() const {
    if (left_.empty()) return std::nullopt;
    const auto& [what, line] = *left_.begin();
    const bool is_fan = what.starts_with("106");
    return Leftover{
        line,
        {is_fan ? "it leaves the fan running, also where the program never says it"
                : "it leaves an override in force, also where the program never says it",
         is_fan ? "switch the fan off by M107 before the lines end"
                : "set it back to S100 before the lines end"}};
}

}  // namespace durograde::plan
