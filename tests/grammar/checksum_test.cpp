#include <catch2/catch.hpp>
#include <string>
#include <utility>
#include <vector>

#include "line.hpp"

/// Checksums: XOR of every byte from N up to '*' (common practice, no source). Published pairs.
namespace durograde {
namespace {

grammar::Line parsed(std::string_view text) {
    grammar::Line line;
    grammar::parse_line(text, line);
    return line;
}

}  // namespace

TEST_CASE("checksums of published lines", "[grammar]") {
    const std::vector<std::pair<std::string_view, unsigned>> samples = {
        {"N3 T0", 57},
        {"N4 G92 E0", 67},
        {"N5 G28", 22},
        {"N6 G1 F1500.0", 82},
        {"N7 G1 X2.0 Y2.0 F3000.0", 85},
        {"N8 G1 X3.0 Y3.0", 33},
        {"N0 M106", 36},
        {"N1 G28", 18},
        {"N2 M107", 39},
        {"N10 G92 X0 Y0 Z0 A0 B0", 107},
        {"N0 M106 ", 4},  // the blank before '*' counts
        {"N42 G1 X10.5 Y-3.25 E0.1234", 77},
        {"N1 M104 S210", 103},
        {"N2 T1", 57},
        {"N100 G10 P1 S230 R180", 81},
    };
    for (const auto& [text, sum] : samples) {
        CAPTURE(text);
        CHECK(grammar::checksum_of(text) == sum);
    }
    CHECK(grammar::checksum_of("") == 0);
    CHECK(grammar::checksum_of("\xff\x0f") == 0xf0);
}

TEST_CASE("where a line's checksum stands", "[grammar]") {
    const grammar::Line line = parsed("N3 T0 * 57 ; after");
    CHECK(line.has_checksum);
    CHECK(line.checksum == 57);
    CHECK(line.checksum_at == 6);
    CHECK(line.body_end == 5);
    CHECK(line.comment_at == 11);
    CHECK_FALSE(parsed("G1 X5").has_checksum);
    CHECK_FALSE(parsed("G1 X5 ; *57").has_checksum);
    CHECK(parsed("N3 T0*57").checksum_at == 5);
}

TEST_CASE("a broken checksum is an error at its star", "[grammar]") {
    CHECK(parsed("N3 T0*").error_at == 6);
    CHECK(parsed("N3 T0*x7").error_at == 6);
    CHECK(parsed("N3 T0*99999999999").error_at == 6);
    CHECK(parsed("N3 T0*57 T1").error_at == 10);
    CHECK(parsed("N3 T0*57*57").error_at == 9);
    CHECK_FALSE(parsed("N3 T0*").has_checksum);
}

TEST_CASE("a star within a bracket comment is no checksum's", "[grammar]") {
    const grammar::Line line = parsed("N3 T0 (a*b)*57");
    CHECK(line.has_checksum);
    CHECK(line.checksum_at == 11);
}

}  // namespace durograde
