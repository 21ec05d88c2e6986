#include "text/number.hpp"

#include <cstring>

namespace durograde {
namespace {

/// The digits of 0000 to 9999: four digits a step is several times faster than one.
struct FourDigits {
    std::array<char, 40000> text{};
    constexpr FourDigits() {
        for (std::size_t i = 0; i < 10000; ++i) {
            text[4 * i] = static_cast<char>('0' + i / 1000);
            text[4 * i + 1] = static_cast<char>('0' + i / 100 % 10);
            text[4 * i + 2] = static_cast<char>('0' + i / 10 % 10);
            text[4 * i + 3] = static_cast<char>('0' + i % 10);
        }
    }
};
constexpr FourDigits four_digits;

/// Writes `value` so that it ends at `end`, with at least `least` digits; returns its begin.
char* write_backwards(char* end, std::uint64_t value, int least) {
    char* at = end;
    while (value >= 10000) {
        at -= 4;
        std::memcpy(at, &four_digits.text[4 * (value % 10000)], 4);
        value /= 10000;
    }
    while (value > 0) {
        *--at = static_cast<char>('0' + value % 10);
        value /= 10;
    }
    while (end - at < least) *--at = '0';
    return at;
}

}  // namespace

char* write_fixed(char* out, std::int64_t scaled, int decimals) {
    if (scaled < 0) *out++ = '-';
    const auto magnitude =
        scaled < 0 ? 0 - static_cast<std::uint64_t>(scaled) : static_cast<std::uint64_t>(scaled);
    std::array<char, 32> digits;
    char* const end = digits.data() + digits.size();
    const char* begin = write_backwards(end, magnitude, decimals + 1);
    const auto whole = static_cast<std::size_t>(end - begin - decimals);
    std::memcpy(out, begin, whole);
    out += whole;
    if (decimals > 0) {
        *out++ = '.';
        std::memcpy(out, begin + whole, static_cast<std::size_t>(decimals));
        out += decimals;
    }
    return out;
}

void append_trimmed(std::string& out, double value, int decimals) {
    std::array<char, 32> text;
    const char* const begin = text.data();
    const char* end = write_fixed(text.data(), scaled(value, decimals), decimals);
    if (decimals > 0) {
        while (end[-1] == '0') --end;
        if (end[-1] == '.') --end;
    }
    out.append(begin, end);
}

}  // namespace durograde
