#include "check/reader.hpp"

#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <utility>

namespace durograde::check {

using grammar::Value;
using grammar::Word;

namespace {

constexpr double nothing_mm = 1e-9;  // what binary rounding leaves of no motion at all

int rewound(int fd) {
    ::lseek(fd, 0, SEEK_SET);
    return fd;
}

bool is_move_letter(char letter) {
    constexpr std::string_view letters = "XYZEFIJR";
    return letters.find(letter) != std::string_view::npos;
}

}  // namespace

Reader::Reader(const plan::Plan& plan, int fd, std::string name)
    : plan_(plan), source_(rewound(fd), std::move(name)) {}

bool Reader::next() {
    if (!source_.next(raw_)) return false;
    source_.keep_from(raw_.offset);
    grammar::parse_line(raw_.text, line_);
    act_.kind = Kind::nothing;
    act_.waits = act_.sets = false;
    act_.dwell_s = 0.0;
    interpret();
    return true;
}

std::string_view Reader::command() const {
    const std::size_t begin = line_.body_begin;
    std::size_t end = line_.is_malformed() ? raw_.text.size() : line_.body_end;
    // The grammar reads no checksum behind words that it does not know.
    if (line_.is_malformed() && line_.has_number) end = std::max(begin, std::min(end, raw_.text.rfind('*')));
    std::string_view text = raw_.text.substr(begin, end - begin);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

void Reader::interpret() {
    if (line_.has_checksum && !has_right_checksum()) {
        act_.kind = Kind::fault;
        act_.fault = "the checksum does not fit the line";
        act_.fault_column = line_.checksum_at + 1;
        return;
    }
    if (line_.word_count == 0) {
        if (line_.is_malformed()) act_.kind = Kind::pin;
        return;
    }
    const Word& first = line_.words[0];
    const int code = first.letter == 'G' || first.letter == 'M' ? code_in_tenths(first) : -1;
    if (line_.is_malformed()) {
        // Only what could have moved the machine is a fault.
        const bool may_move = first.letter == 'G' ? code <= 30 || code == 200 || code == 210 ||
                                                        code == 900 || code == 910 || code == 920
                                                  : is_move_letter(first.letter) && line_.word_count > 1;
        act_.kind = may_move ? Kind::fault : Kind::pin;
        act_.fault = "this move cannot be read";
        act_.fault_column = line_.error_at;
        return;
    }
    if (line_.deleted) {
        act_.kind = Kind::pin;
    } else if (is_setting(first)) {
        setting();
    } else if (first.letter == 'G') {
        g_words();
    } else if (first.letter == 'M') {
        m_word();
    } else if (first.letter == 'T') {
        if (is_tool(first)) return take_tool(static_cast<int>(first.mantissa));
        act_.kind = Kind::pin;
    } else {
        const bool feed_alone = first.letter == 'F' && line_.word_count == 1;
        const bool goes_on = is_move_letter(first.letter) && first.value == Value::number &&
                             (state_.motion >= 0 || feed_alone);
        if (goes_on) return move(std::max(state_.motion, 0));
        act_.kind = Kind::pin;
    }
}

bool Reader::has_right_checksum() const {
    const std::size_t begin = std::min(raw_.text.find_first_not_of(" \t"), raw_.text.size());
    return grammar::checksum_of(raw_.text.substr(begin, line_.checksum_at - begin)) == line_.checksum;
}

bool Reader::is_setting(const Word& word) const {
    const auto names = [&](const std::string& name) {
        return name.size() > 1 && name[0] == word.letter &&
               code_in_tenths(word) == std::atoi(name.c_str() + 1) * 10;
    };
    return std::any_of(plan_.machine.settings.begin(), plan_.machine.settings.end(), names);
}

bool Reader::is_tool(const Word& word) const {
    if (line_.word_count != 1 || word.value != Value::number || word.decimals != 0) return false;
    return std::any_of(plan_.tools.begin(), plan_.tools.end(),
                       [&](const plan::Tool& tool) { return tool.number == word.mantissa; });
}

void Reader::take_tool(int tool) {
    act_.kind = Kind::tool;
    act_.tool = state_.tool = tool;
}

void Reader::take_set_point(int tool, double celsius) { state_.set_points_c[tool] = celsius; }

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
    const bool has_axis =
        std::any_of(line_.words.begin(), line_.words.begin() + line_.word_count,
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
    const bool relative = state_.frame.relative;
    for (std::uint32_t i = 0; i < line_.word_count; ++i) {
        const Word& word = line_.words[i];
        double value = 0.0;
        switch (word.letter) {
            case 'X':
                if (!number(word, value)) return false;
                act_.to.x = value * unit + (relative ? act_.to.x : state_.origin[0]);
                break;
            case 'Y':
                if (!number(word, value)) return false;
                act_.to.y = value * unit + (relative ? act_.to.y : state_.origin[1]);
                break;
            case 'Z':
                if (!number(word, value)) return false;
                act_.to.z = value * unit + (relative ? act_.to.z : state_.origin[2]);
                break;
            case 'E':
                if (!number(word, e_word_)) return false;
                has_e_ = true;
                act_.e_mm = (state_.frame.e_relative ? e_word_ : e_word_ - state_.e_count) *
                            state_.frame.e_unit_mm();
                if (std::abs(act_.e_mm) < nothing_mm) act_.e_mm = 0.0;
                break;
            case 'F':
                if (!number(word, value)) return false;
                if (!(value > 0)) return fault("a feed must be above zero", word);
                act_.feed_mm_min = value * unit;
                break;
            default: break;
        }
    }
    return true;
}

/// Kind and length of a move that was read well; only now it takes effect.
void Reader::settle_move(int motion) {
    const bool was_placed = state_.is_placed();
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
    if (act_.kind == Kind::bead && !(was_placed && act_.feed_mm_min > 0)) {
        fault("extrudes before position and feed are known", line_.words[0]);
        return;
    }
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

bool Reader::read_arc(bool clockwise) {
    const double unit = state_.frame.unit_mm();
    const Word* i = line_.find('I');
    const Word* j = line_.find('J');
    const Word* r = line_.find('R');
    double along_x = 0.0, along_y = 0.0;
    if (i != nullptr && !number(*i, along_x)) return false;
    if (j != nullptr && !number(*j, along_y)) return false;
    if (i == nullptr && j == nullptr) {
        if (r == nullptr) return fault("an arc needs I and J, or R", line_.words[0]);
        if (!center_from_radius(*r, clockwise)) return false;
    } else {
        act_.arc.center_x = act_.from.x + along_x * unit;
        act_.arc.center_y = act_.from.y + along_y * unit;
    }
    act_.is_arc = true;
    return sweep(clockwise);
}

/// The centre lies on the chord's bisector: left of the chord for the shorter arc counter-clockwise, and
/// each of "clockwise" and "longer" (R below zero) changes sides.
bool Reader::center_from_radius(const Word& r, bool clockwise) {
    double radius = 0.0;
    if (!number(r, radius)) return false;
    radius *= state_.frame.unit_mm();
    const double dx = act_.to.x - act_.from.x, dy = act_.to.y - act_.from.y;
    const double chord = std::sqrt(dx * dx + dy * dy);
    constexpr double rounding_mm = 1e-4;  // of a half circle whose ends are written rounded
    if (chord < nothing_mm || chord > 2 * std::abs(radius) + rounding_mm) {
        return fault("no arc of this radius joins the ends", r);
    }
    const double away = std::sqrt(std::max(0.0, radius * radius - chord * chord / 4));
    const double left = clockwise == (radius > 0) ? -away : away;
    act_.arc.center_x = (act_.from.x + act_.to.x) / 2 - left * dy / chord;
    act_.arc.center_y = (act_.from.y + act_.to.y) / 2 + left * dx / chord;
    return true;
}

bool Reader::sweep(bool clockwise) {
    Arc& arc = act_.arc;
    const double from_x = act_.from.x - arc.center_x, from_y = act_.from.y - arc.center_y;
    const double to_x = act_.to.x - arc.center_x, to_y = act_.to.y - arc.center_y;
    arc.radius = std::sqrt(from_x * from_x + from_y * from_y);
    const double mismatch = std::abs(std::sqrt(to_x * to_x + to_y * to_y) - arc.radius);
    // Beyond this a controller refuses the arc: half a millimetre, or 5 µm and 0.1 % (sources.md, 1.1).
    const bool is_arc = arc.radius > nothing_mm && mismatch <= 0.5 &&
                        (mismatch <= 0.005 || mismatch <= 0.001 * arc.radius);
    if (!is_arc) return fault("start and end lie at different distances from the centre", line_.words[0]);
    arc.begin_rad = std::atan2(from_y, from_x);
    constexpr double turn = 2 * std::numbers::pi;
    constexpr double closed_rad = 1e-9;
    double angle = std::fmod(std::atan2(to_y, to_x) - arc.begin_rad, turn);
    if (clockwise) angle = -angle;
    if (angle < closed_rad) angle += turn;
    if (angle < closed_rad) angle += turn;
    arc.sweep_rad = clockwise ? -angle : angle;
    return true;
}

}  // namespace durograde::check
