#include "grade/ending.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "program/words.hpp"

namespace durograde::grade {

using program::StepKind;

namespace {

constexpr std::size_t most_macros = 256;  // a program that calls more calls them by number

/// Bed and chamber, set and waited for (M140, M190, M141, M191; common practice, no source).
constexpr std::array other_heaters = {1400, 1900, 1410, 1910};
/// Program end (RS274/NGC: M0, M1, M2, M30), motors off (M18, M84), power off (M81), the last three
/// common practice, no source.
constexpr std::array ends_of_programs = {0, 10, 20, 300, 180, 840, 810};
constexpr int homing = 280;

template <std::size_t count>
bool is_one_of(int code, const std::array<int, count>& list) {
    return std::find(list.begin(), list.end(), code) != list.end();
}

/// A word of letters, such as a controller's own macros have; empty where it is none.
std::string_view macro_name(std::string_view text) {
    const std::size_t begin = std::min(text.find_first_not_of(" \t"), text.size());
    std::size_t end = begin;
    const auto is_name_byte = [](char byte) {
        return (byte >= 'A' && byte <= 'Z') || (byte >= 'a' && byte <= 'z') || byte == '_';
    };
    while (end < text.size() && is_name_byte(text[end])) ++end;
    return end - begin > 1 ? text.substr(begin, end - begin) : std::string_view{};
}

int code_of_m(const grammar::Line& line) {
    return line.word_count > 0 && line.words[0].letter == 'M' ? program::code_of(line.words[0])
                                                              : -1;
}

}  // namespace

void EndingWatch::see(const RawLine& raw, const grammar::Line& line, const program::Step& step) {
    switch (step.kind) {
        case StepKind::bead:
            if (has_end_ || !has_beads_ || !new_macros_.empty()) see_bead();
            return;
        case StepKind::heat:
            tells_heat_ = tells_heat_ || step.temperature_c > 0;
            has_end_ = has_end_ || (!step.waits && step.temperature_c == 0.0);
            return;
        case StepKind::setting:
        case StepKind::pin:
            see_other_heater(code_of_m(line), line);
            has_end_ = ends(raw, line, step) || has_end_;
            return;
        default:
            return;
    }
}

void EndingWatch::see_bead() {
    if (!has_beads_) begins_by_macro_ = !new_macros_.empty();
    has_beads_ = true;
    has_end_ = false;
    if (macros_.size() < most_macros) macros_.merge(new_macros_);
    new_macros_.clear();
}

void EndingWatch::see_other_heater(int code, const grammar::Line& line) {
    if (!is_one_of(code, other_heaters)) return;
    const grammar::Word* set = line.find('S');
    if (set == nullptr) set = line.find('R');
    if (set != nullptr) others_on_[code % 100] = set->mantissa > 0;
}

bool EndingWatch::ends(const RawLine& raw, const grammar::Line& line, const program::Step& step) {
    const int code = code_of_m(line);
    if (is_one_of(code, other_heaters)) {
        const grammar::Word* set = line.find('S');
        return set != nullptr && set->is_whole(0);
    }
    if (step.kind != StepKind::pin) return false;
    if (is_one_of(code, ends_of_programs)) return true;
    const bool is_g = line.word_count > 0 && line.words[0].letter == 'G';
    if (is_g && program::code_of(line.words[0]) == homing) return true;
    const std::string_view name = macro_name(raw.text);
    if (name.empty() || macros_.find(name) != macros_.end()) return false;
    if (new_macros_.size() < most_macros) new_macros_.emplace(name);
    return true;
}

Ending EndingWatch::ending(const RawLine& last, const program::State& state) const {
    Ending ending;
    ending.last_line = last.number;
    ending.amid_line = has_beads_ && last.number > 1 && last.ending.empty();
    ending.has_own_end = has_end_ || !has_beads_;
    const auto is_on = [](const auto& heater) { return heater.second > 0; };
    ending.heaters_on = std::any_of(state.set_points_c.begin(), state.set_points_c.end(), is_on) ||
                        std::any_of(others_on_.begin(), others_on_.end(), is_on) ||
                        (!tells_heat_ && begins_by_macro_);
    return ending;
}

}  // namespace durograde::grade
