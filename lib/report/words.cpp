#include "report/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace durograde::report {

std::string grouped(std::uint64_t number) {
    std::string digits = std::to_string(number);
    for (auto at = static_cast<std::ptrdiff_t>(digits.size()) - 3; at > 0; at -= 3) {
        digits.insert(static_cast<std::size_t>(at), " ");
    }
    return digits;
}

std::string counted(std::uint64_t number, std::string_view thing) {
    return fmt::format("{} {}{}", number, thing, number == 1 ? "" : "s");
}

std::string duration(double seconds) {
    const auto whole = static_cast<long>(std::lround(std::max(0.0, seconds)));
    if (whole >= 3600) return fmt::format("{} h {:02} min", whole / 3600, whole % 3600 / 60);
    if (whole >= 60) return fmt::format("{} min {:02} s", whole / 60, whole % 60);
    return fmt::format("{} s", whole);
}

std::string harmless(std::string text) {
    std::size_t kept = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const auto byte = static_cast<unsigned char>(text[i]);
        const unsigned next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0U;
        const bool is_beyond = byte == 0xC2 && next >= 0x80 && next <= 0x9F;
        const bool is_control = (byte < 0x20 && byte != '\n') || byte == 0x7F || is_beyond;
        if (is_beyond) ++i;
        text[kept++] = is_control ? '?' : static_cast<char>(byte);
    }
    text.resize(kept);
    return text;
}

}  // namespace durograde::report
