#include "text/number.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <limits>

namespace durograde {
namespace {

std::string fixed(std::int64_t scaled_value, int decimals) {
    char text[32];
    return std::string(text, write_fixed(text, scaled_value, decimals));
}

std::string trimmed(double value, int decimals = 3) {
    std::string out = "S";
    append_trimmed(out, value, decimals);
    return out.substr(1);
}

std::string printed(double value, int decimals) {
    char text[64];
    std::snprintf(text, sizeof text, "%.*f", decimals, value);
    const std::string number = text;
    const bool zero = number.find_first_of("123456789") == std::string::npos;
    return zero && number[0] == '-' ? number.substr(1) : number;
}

}  // namespace

TEST_CASE("whole numbers of a decimal unit are written plainly", "[text]") {
    CHECK(fixed(0, 0) == "0");
    CHECK(fixed(0, 3) == "0.000");
    CHECK(fixed(5, 3) == "0.005");
    CHECK(fixed(-5, 3) == "-0.005");
    CHECK(fixed(1500, 3) == "1.500");
    CHECK(fixed(10000, 0) == "10000");
    CHECK(fixed(-9999, 4) == "-0.9999");
    CHECK(fixed(10000, 4) == "1.0000");
    CHECK(fixed(1234567890123, 5) == "12345678.90123");
    CHECK(fixed(std::numeric_limits<std::int64_t>::max(), 9) == "9223372036.854775807");
    CHECK(fixed(std::numeric_limits<std::int64_t>::min(), 9) == "-9223372036.854775808");
    CHECK(fixed(std::numeric_limits<std::int64_t>::min(), 0).size() <= 24);
}

TEST_CASE("numbers agree with the C library's away from ties", "[text]") {
    REQUIRE(rc::check("printf(\"%.*f\")", [](std::int32_t mantissa, std::uint16_t part) {
        for (int decimals = 0; decimals <= most_decimals; ++decimals) {
            const double value = mantissa / 1e4 + part / 1e9;
            const double units = value * power_of_ten(decimals);
            // A tie, or so near to one that the product's own rounding decides.
            const double to_tie = std::abs(std::abs(units - std::floor(units)) - 0.5);
            if (to_tie < 1e-3) continue;
            RC_ASSERT(fixed(scaled(value, decimals), decimals) == printed(value, decimals));
        }
    }));
}

TEST_CASE("digits come back as they went in", "[text]") {
    REQUIRE(rc::check("by hand", [](std::int64_t value) {
        const int decimals = *rc::gen::inRange(0, most_decimals + 1);
        std::string digits = fixed(value, decimals);
        const std::size_t point = digits.find('.');
        RC_ASSERT((point == std::string::npos) == (decimals == 0));
        if (decimals > 0) {
            RC_ASSERT(digits.size() - point - 1 == static_cast<std::size_t>(decimals));
            digits.erase(point, 1);
        }
        RC_ASSERT(std::strtoll(digits.c_str(), nullptr, 10) == value);
    }));
}

TEST_CASE("numbers for commands carry no zeros at their end", "[text]") {
    CHECK(trimmed(230) == "230");
    CHECK(trimmed(1.5) == "1.5");
    CHECK(trimmed(-0.25) == "-0.25");
    CHECK(trimmed(100) == "100");
    CHECK(trimmed(0) == "0");
    CHECK(trimmed(-0.0001) == "0");
    CHECK(trimmed(1e-9) == "0");
    CHECK(trimmed(0.0126, 2) == "0.01");
    CHECK(trimmed(1e7) == "10000000");
    CHECK(trimmed(1200, 0) == "1200");
    CHECK(trimmed(1.75, 6) == "1.75");
}

}  // namespace durograde
