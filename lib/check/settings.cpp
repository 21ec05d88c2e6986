#include "check/settings.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::check {
namespace {

/// Finaliser of splitmix64 (Steele, Lea, Flood, Fast splittable pseudorandom number generators,
/// 2014).
std::uint64_t mixed(std::uint64_t value) {
    value = (value ^ (value >> 30)) * 0xBF58476D1CE4E5B9ULL;
    value = (value ^ (value >> 27)) * 0x94D049BB133111EBULL;
    return value ^ (value >> 31);
}

std::uint64_t mark_of(std::uint64_t family, char letter, std::uint64_t value) {
    return mixed(mixed((family << 8 | static_cast<std::uint8_t>(letter)) + 0x9E3779B97F4A7C15ULL) +
                 value);
}

/// One number for what a word says: 1.50 and 1.5 say the same.
std::uint64_t value_of(std::string_view text, const grammar::Word& word) {
    std::uint64_t value = static_cast<std::uint64_t>(word.value) + 1;
    if (word.value == grammar::Value::number) {
        std::int64_t mantissa = word.mantissa;
        int decimals = word.decimals;
        for (; decimals > 0 && mantissa % 10 == 0; --decimals) mantissa /= 10;
        value = mixed(value + static_cast<std::uint64_t>(decimals)) +
                static_cast<std::uint64_t>(mantissa);
    } else if (word.value == grammar::Value::text) {
        for (const char byte : text.substr(word.begin, word.end - word.begin)) {
            value = mixed(value + static_cast<std::uint8_t>(byte));
        }
    }
    return mixed(value);
}

std::uint32_t code_of(const grammar::Word& word) {
    return static_cast<std::uint32_t>(std::lround(word.number() * 10.0));
}

std::uint64_t family_of(char letter, std::uint32_t code, std::uint32_t index) {
    return std::uint64_t{code} << 17 | std::uint64_t{static_cast<std::uint8_t>(letter)} << 9 |
           index;
}

}  // namespace

void Settings::apply(std::string_view text, const grammar::Line& line) {
    std::uint32_t code = code_of(line.words[0]);
    std::uint32_t index = 0;
    bool says_everything = code == 1400 || code == 2200 || code == 2210;
    if (code == 1060 || code == 1070) {
        // M107 is M106 with nothing given; each further fan is a family of its own.
        const grammar::Word* p = line.find('P');
        index = p != nullptr ? static_cast<std::uint32_t>(p->mantissa & 0xff) + 1 : 0;
        code = 1060;
        says_everything = true;
    }
    // M204 S stands for all its accelerations at once (common practice).
    if (code == 2040 && line.find('S') != nullptr) says_everything = true;
    const std::uint64_t family = family_of(line.words[0].letter, code, index);
    count_firsts(family, line);
    if (says_everything) forget(family);
    if (line.word_count == 1) set({family, 0, 0, 0.0});
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        const grammar::Word& word = line.words[i];
        const double number = word.value == grammar::Value::number ? word.number() : 0.0;
        set({family, word.letter, value_of(text, word), number});
    }
}

void Settings::count_firsts(std::uint64_t family, const grammar::Line& line) {
    const auto is_known = [&](char letter) {
        return std::any_of(parameters_.begin(), parameters_.end(), [&](const Parameter& known) {
            return known.family == family && (letter == 0 || known.letter == letter);
        });
    };
    if (line.word_count == 1 && !is_known(0)) ++firsts_;
    for (std::uint32_t i = 1; i < line.word_count; ++i) {
        if (!is_known(line.words[i].letter)) ++firsts_;
    }
}

void Settings::forget(std::uint64_t family) {
    std::erase_if(parameters_, [&](const Parameter& parameter) {
        if (parameter.family != family) return false;
        mark_ -= mark_of(parameter.family, parameter.letter, parameter.value);
        return true;
    });
}

void Settings::set(const Parameter& parameter) {
    const auto same = [&](const Parameter& other) {
        return other.family == parameter.family && other.letter == parameter.letter;
    };
    auto found = std::find_if(parameters_.begin(), parameters_.end(), same);
    if (found == parameters_.end()) {
        parameters_.push_back(parameter);
    } else {
        mark_ -= mark_of(found->family, found->letter, found->value);
        *found = parameter;
    }
    mark_ += mark_of(parameter.family, parameter.letter, parameter.value);
}

double Settings::number(std::uint32_t command, char letter, double otherwise) const noexcept {
    const std::uint64_t family = family_of('M', command * 10, 0);
    for (const Parameter& parameter : parameters_) {
        if (parameter.family == family && parameter.letter == letter) return parameter.number;
    }
    return otherwise;
}

}  // namespace durograde::check
