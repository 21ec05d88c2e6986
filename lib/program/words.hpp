#pragma once

#include <cmath>
#include <cstdint>

#include "line.hpp"

/// What the interpreter's parts share about words.
namespace durograde::program {

/// Positions nearer than this are the same: what rounding in binary leaves, in mm.
inline constexpr double same_place_mm = 1e-9;

/// Code of a G or M word in tenths: G92.1 is 921. -1 where it is no such number.
inline int code_of(const grammar::Word& word) {
    if (word.value != grammar::Value::number || word.mantissa < 0) return -1;
    if (word.decimals == 0)
        return word.mantissa < 100'000 ? static_cast<int>(word.mantissa) * 10 : -1;
    const double tenths = word.number() * 10.0;
    const double whole = std::round(tenths);
    return std::abs(tenths - whole) < 1e-6 && whole < 1e6 ? static_cast<int>(whole) : -1;
}

constexpr std::uint32_t bit(char letter) {
    return 1U << (letter - 'A');
}

/// Letters that a move may have.
inline constexpr std::uint32_t move_letters =
    bit('X') | bit('Y') | bit('Z') | bit('E') | bit('F') | bit('I') | bit('J') | bit('R');

inline bool is_move_letter(char letter) {
    return (move_letters & bit(letter)) != 0;
}

}  // namespace durograde::program
