#include "check/reader.hpp"

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <utility>

namespace durograde::check {

using grammar::Value;
using grammar::Word;

namespace {

constexpr double longest_mm = 100'000.0;  // of a move: some times round the largest machine
constexpr double nothing_mm = 1e-9;       // what binary rounding leaves of no motion at all

int rewound(int fd) {
    ::lseek(fd, 0, SEEK_SET);
    return fd;
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t";
    text.remove_prefix(std::min(text.find_first_not_of(blanks), text.size()));
    return text.substr(0, text.find_last_not_of(blanks) + 1);
}

bool is_move_letter(char letter) {
    constexpr std::string_view letters = "XYZEFIJR";
    return letters.find(letter) != std::string_view::npos;
}

}  // namespace

Reader::Reader(const plan::Plan& plan, int fd, std::string name)
    : plan_(plan), source_(rewound(fd), std::move(name)) {
    // With one tool alone there is no other to be mistaken for it.
    state_.tool_unsure = plan.tools.size() > 1;
}

bool Reader::next() {
    if (!source_.next(raw_)) return false;
    source_.keep_from(raw_.offset);
    grammar::parse_line(raw_.text, line_);
    act_.kind = Kind::nothing;
    act_.waits = act_.sets = act_.settles = false;
    act_.dwell_s = 0.0;
    act_.cools = false;
    interpret();
    return true;
}

std::string_view Reader::command() const {
    const std::size_t begin = line_.body_begin;
    if (!line_.is_malformed()) return trimmed(raw_.text.substr(begin, line_.body_end - begin));
    const std::string_view text = trimmed(raw_.text.substr(begin));
    // The grammar reads no checksum behind words that it does not know.
    const std::size_t digits = text.find_last_not_of("0123456789") + 1;
    const bool sums = line_.has_number && digits > 0 && digits < text.size();
    return sums && text[digits - 1] == '*' ? trimmed(text.substr(0, digits - 1)) : text;
}

void Reader::interpret() {
    // Moves and modes, as nearly all lines are, are no such thing.
    const bool is_plain_g = line_.word_count > 0 && line_.words[0].letter == 'G' && !line_.extended;
    if (!is_plain_g && line_.word_count > 0 && says_nothing()) return;
    if (line_.has_checksum && !line_.extended && !has_right_checksum()) {
        act_.kind = Kind::fault;
        act_.fault = "the checksum does not fit the line";
        act_.fault_column = line_.checksum_at + 1;
        return;
    }
    if (!is_plain_g && line_.word_count > 0 && repeats_lines()) {
        fault("the controller runs these lines more than once", line_.words[0]);
        return;
    }
    if (line_.extended) return spelled_out();
    if (line_.is_malformed()) return malformed();
    if (line_.word_count == 0) return;
    const Word& first = line_.words[0];
    act_.kind = Kind::pin;
    if (line_.deleted) return;
    if (is_setting(first)) {
        setting();
    } else if (first.letter == 'G') {
        g_words();
    } else if (first.letter == 'M') {
        m_word();
    } else if (first.letter == 'T') {
        first_t();
    } else if (goes_on_moving(first)) {
        move(std::max(state_.motion, 0));
    }
}

/// Only what could have moved the machine is a fault; all else is a command that is not understood.
void Reader::malformed() {
    act_.kind = Kind::pin;
    // Where a line number cannot be read, it stands before the command.
    const std::uint32_t at = line_.word_count > 0 && line_.words[0].letter == 'N' ? 1 : 0;
    if (line_.word_count <= at) return;
    const Word& first = line_.words[at];
    bool may_move = is_move_letter(first.letter) && line_.word_count > at + 1;
    if (first.letter == 'G') {
        const int code = code_in_tenths(first);
        may_move =
            code <= 30 || code == 200 || code == 210 || code == 900 || code == 910 || code == 920;
    }
    if (!may_move) return;
    act_.kind = Kind::fault;
    act_.fault = "this move cannot be read";
    act_.fault_column = line_.error_at;
}

/// A line without a G word goes on as the last move did; a feed may stand alone from the begin.
bool Reader::goes_on_moving(const Word& first) const {
    if (!is_move_letter(first.letter) || first.value != Value::number) return false;
    return state_.motion >= 0 || (first.letter == 'F' && line_.word_count == 1);
}

bool Reader::has_right_checksum() const {
    const std::size_t begin = std::min(raw_.text.find_first_not_of(" \t"), raw_.text.size());
    return grammar::checksum_of(raw_.text.substr(begin, line_.checksum_at - begin)) ==
           line_.checksum;
}

bool Reader::is_setting(const Word& word) const {
    const auto names = [&](const std::string& name) {
        return name.size() > 1 && name[0] == word.letter &&
               code_in_tenths(word) == std::atoi(name.c_str() + 1) * 10;
    };
    return std::any_of(plan_.machine.settings.begin(), plan_.machine.settings.end(), names);
}

bool Reader::fault(const char* what, const Word& word) {
    act_.kind = Kind::fault;
    act_.fault = what;
    act_.fault_column = word.letter_at + 1;
    return false;
}

bool Reader::number(const Word& word, double& value) {
    if (word.value != Value::number) return fault("a word has no number", word);
    value = word.number();
    return true;
}

// --- moves --------------------------------------------------------------------------------------

void Reader::g_words() {
    int motion = -1, other = -2;
    std::uint32_t count = 0;
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        if (word.letter != 'G') continue;
        ++count;
        const int code = code_in_tenths(word);
        if (code >= 0 && code <= 30 && code % 10 == 0) {
            motion = code / 10;
        } else if (code == 200 || code == 210) {
            // The count of E goes on in the new unit.
            const double before = state_.frame.e_unit_mm();
            state_.frame.inch = code == 200;
            state_.e_count *= before / state_.frame.e_unit_mm();
        } else if (code == 900 || code == 910) {
            state_.frame.relative = code == 910;
            if (plan_.machine.read.distance_mode_sets_e) state_.frame.e_relative = code == 910;
        } else {
            other = code;
        }
    }
    if (other != -2) return other_g(other, count);
    const bool has_axis = std::any_of(line_.words.begin(), line_.words.begin() + line_.word_count,
                                      [](const Word& word) { return is_move_letter(word.letter); });
    if (motion >= 0 || has_axis) return move(motion >= 0 ? motion : std::max(state_.motion, 0));
    act_.kind = Kind::frame;
}

void Reader::move(int motion) {
    act_.from = act_.to = state_.at;
    act_.feed_mm_min = state_.feed_mm_min;
    act_.e_mm = 0.0;
    act_.is_arc = act_.by_machine = has_e_ = false;
    if (!read_words()) return;
    if (motion >= 2 && !read_arc(motion == 2)) return;
    settle_move(motion);
}

/// End, filament and feed.
bool Reader::read_words() {
    const double unit = state_.frame.unit_mm();
    const auto coordinate = [&](double& to, std::size_t axis, const Word& word) {
        to = word.number() * unit + (state_.frame.relative ? to : state_.origin[axis]);
    };
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        const bool counts =
            (word.letter >= 'X' && word.letter <= 'Z') || word.letter == 'E' || word.letter == 'F';
        if (counts && word.value != Value::number) return fault("a word has no number", word);
        switch (word.letter) {
            case 'X':
                coordinate(act_.to.x, 0, word);
                break;
            case 'Y':
                coordinate(act_.to.y, 1, word);
                break;
            case 'Z':
                coordinate(act_.to.z, 2, word);
                break;
            case 'E':
                read_filament(word);
                break;
            case 'T':
                return fault("selects a tool on a move", word);
            case 'F':
                act_.feed_mm_min = word.number() * unit;
                if (!(act_.feed_mm_min > 0)) return fault("a feed must be above zero", word);
                break;
            default:
                break;
        }
    }
    return true;
}

void Reader::read_filament(const Word& word) {
    has_e_ = true;
    e_word_ = word.number();
    const double more = state_.frame.e_relative ? e_word_ : e_word_ - state_.e_count;
    act_.e_mm = more * state_.frame.e_unit_mm();
    if (std::abs(act_.e_mm) < nothing_mm) act_.e_mm = 0.0;
}

/// What is no place of this machine by any slip of zeros: maps and samples of the way there would
/// take memory without end. What is out of reach by less is judged.
bool Reader::is_far(const Point& point) const {
    constexpr double far_mm = 10'000.0;
    const auto is_off = [](double at, const plan::Range& reach) {
        return at < reach.low - far_mm || at > reach.high + far_mm;
    };
    const plan::Machine& machine = plan_.machine;
    return is_off(point.x, machine.reach_x) || is_off(point.y, machine.reach_y) ||
           is_off(point.z, machine.reach_z);
}

/// Kind and length of a move that was read well; only now it takes effect.
void Reader::settle_move(int motion) {
    const bool was_placed = act_.from_known = state_.is_placed();
    const double flat_mm = act_.is_arc ? act_.arc.length_mm() : distance_xy(act_.from, act_.to);
    const double rise_mm = act_.to.z - act_.from.z;
    act_.length_mm = rise_mm == 0.0 ? flat_mm : std::sqrt(flat_mm * flat_mm + rise_mm * rise_mm);
    if (act_.e_mm == 0.0) {
        act_.kind = Kind::travel;
    } else if (flat_mm <= nothing_mm) {
        act_.kind = Kind::filament;
        if (act_.length_mm == 0.0) act_.length_mm = std::abs(act_.e_mm);
    } else {
        act_.kind = act_.e_mm > 0 ? Kind::bead : Kind::wipe;
    }
    if (is_far(act_.to) || flat_mm > longest_mm) {
        fault("leads metres out of the machine's reach", line_.words[0]);
        return;
    }
    if (act_.kind == Kind::bead && !(was_placed && act_.feed_mm_min > 0)) {
        fault("extrudes before position and feed are known", line_.words[0]);
        return;
    }
    if (act_.kind == Kind::bead && state_.adrift) {
        fault("extrudes where no other bead can be placed beside it", line_.words[0]);
        return;
    }
    if (act_.kind == Kind::bead && state_.tool_away) {
        fault("extrudes with no tool of the plan", line_.words[0]);
        return;
    }
    if (act_.kind == Kind::bead) state_.extruded = true;
    if (!state_.frame.relative && !was_placed) {
        for (std::size_t axis = 0; axis < 3; ++axis) {
            if (line_.find(static_cast<char>('X' + axis)) != nullptr) state_.known[axis] = true;
        }
    }
    state_.motion = motion;
    state_.at = act_.to;
    state_.feed_mm_min = act_.feed_mm_min;
    if (has_e_) state_.e_count = state_.frame.e_relative ? state_.e_count + e_word_ : e_word_;
}

}  // namespace durograde::check
