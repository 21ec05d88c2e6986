#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <string>

#include "text/byte_buffer.hpp"

namespace durograde {

inline constexpr int most_decimals = 9;  ///< that a number is written with

/// 10^decimals, exact.
constexpr double power_of_ten(int decimals) {
    constexpr std::array<double, most_decimals + 1> powers = {1,   1e1, 1e2, 1e3, 1e4,
                                                              1e5, 1e6, 1e7, 1e8, 1e9};
    return powers[static_cast<std::size_t>(decimals)];
}

/// `value` as a whole number of 10^-decimals, to nearest.
inline std::int64_t scaled(double value, int decimals) {
    // Rounds as std::llround does for all numbers that a program holds, several times faster.
    const double exact = value * power_of_ten(decimals);
    return static_cast<std::int64_t>(exact + (exact < 0 ? -0.5 : 0.5));
}

/// Writes scaled / 10^decimals at `out` and returns its end; at most 24 bytes. Zero has no sign,
/// there is never an exponent.
char* write_fixed(char* out, std::int64_t scaled, int decimals);

/// Appends `value` rounded to `decimals`, trailing zeros left out: 230, 1.5, -0.25.
void append_trimmed(std::string& out, double value, int decimals = 3);

}  // namespace durograde
