#include "program/numbering.hpp"

#include <rapidcheck.h>

#include <catch2/catch.hpp>

#include "random.hpp"

/// Line numbers and checksums made anew (common practice, no source): numbers go up by one, M110
/// sets the count, the checksum is the XOR of all bytes up to '*' and comes before a ';'
/// comment.
namespace durograde {
namespace {

class Text final : public Sink {
  public:
    void write(std::string_view bytes) override { text += bytes; }
    std::string text;
};

std::string numbered(std::string_view lines, std::int64_t first = 1, bool checksums = true) {
    Text out;
    program::Numbering numbering(out, first, checksums);
    numbering.write(lines);
    numbering.finish();
    return out.text;
}

}  // namespace

TEST_CASE("numbers and checksums are made anew", "[program]") {
    CHECK(numbered("N900 T0*1\nN17 G92 E0*2\n", 3) == "N3 T0*57\nN4 G92 E0*67\n");
    CHECK(numbered("G28\nG1 F1500.0\n", 5) == "N5 G28*22\nN6 G1 F1500.0*82\n");
    CHECK(numbered("G28\nG1 X2\n", 5, false) == "N5 G28\nN6 G1 X2\n");
    CHECK(numbered("G28", 5) == "N5 G28*22");
    CHECK(numbered("  N1 G28\r\n", 5) == "N5 G28*22\r\n");
    CHECK(numbered("") == "");
}

// N-1 before M110, so that the next line is N0 (common practice, no source).
TEST_CASE("numbers may begin below zero", "[program]") {
    CHECK(numbered("N-1 M110*15\nN7 G28*1\n", -1) == "N-1 M110*15\nN0 G28*19\n");
    CHECK(numbered("G28\nG28\n", -1) == "N-1 G28*63\nN0 G28*19\n");
}

TEST_CASE("lines without a command stay as they are and take no number", "[program]") {
    CHECK(numbered("; a pad\n\n  \n(tray 3)\nG28\n", 5) == "; a pad\n\n  \n(tray 3)\nN5 G28*22\n");
    CHECK(numbered("; G28*99\nG28\n", 5) == "; G28*99\nN5 G28*22\n");
}

TEST_CASE("a comment comes after the checksum", "[program]") {
    CHECK(numbered("N8 G28*1 ; home\n", 5) == "N5 G28*22 ; home\n");
    CHECK(numbered("G28; home\n", 5) == "N5 G28*22 ; home\n");
    CHECK(numbered("G1 (pad 3) X2.0\n", 7, false) == "N7 G1 (pad 3) X2.0\n");
}

TEST_CASE("M110 sets the count", "[program]") {
    CHECK(numbered("G28\nM110 N99\nG28\n", 1, false) == "N1 G28\nM110 N99\nN100 G28\n");
    CHECK(numbered("N3 M110*34\nG28\n", 9, false) == "N3 M110*34\nN4 G28\n");
    CHECK(numbered("N0 M110 N7*6\nT0\n", 9, false) == "N0 M110 N7*6\nN8 T0\n");
}

TEST_CASE("lines may come in pieces", "[program]") {
    REQUIRE(rc::check("chunk boundaries do not matter", [](std::uint64_t seed) {
        sheets::Random random(seed);
        const std::vector<std::string> choice = {"N4 G1 X2*3\n", "G28\r\n",    "; pad\n",
                                                 "\n",           "M110 N40\n", "G1 X1 ; go"};
        std::string text;
        const int count = random.between(0, 12);
        for (int i = 0; i < count; ++i) {
            text += choice[static_cast<std::size_t>(random.between(0, 5))];
        }
        Text out;
        program::Numbering numbering(out, 1, true);
        for (std::size_t at = 0; at < text.size();) {
            const auto piece = static_cast<std::size_t>(random.between(1, 9));
            numbering.write(std::string_view(text).substr(at, piece));
            at += piece;
        }
        numbering.finish();
        RC_ASSERT(out.text == numbered(text));
    }));
}

TEST_CASE("what is made can be read: every number one higher, every checksum right", "[program]") {
    REQUIRE(rc::check("checked by the line grammar", [](std::uint64_t seed) {
        sheets::Random random(seed);
        std::string text;
        for (int i = 0; i < 20; ++i) {
            text += random.chance(50) ? "N7 " : "";
            text += "G1 X" + std::to_string(random.between(-99, 99)) + ".25";
            text += random.chance(50) ? " ; to the next pad\n" : "\n";
        }
        const std::string out = numbered(text, 100);
        std::int64_t expected = 100;
        for (std::size_t at = 0; at < out.size(); at = out.find('\n', at) + 1) {
            const std::string_view one = std::string_view(out).substr(at, out.find('\n', at) - at);
            grammar::Line line;
            grammar::parse_line(one, line);
            RC_ASSERT(line.number == expected++);
            RC_ASSERT(line.checksum == grammar::checksum_of(one.substr(0, line.checksum_at)));
        }
        RC_ASSERT(expected == 120);
    }));
}

// A line that fits no rule, such as one with a per cent sign, carries its number and checksum as
// any other.
TEST_CASE("a line that is not understood carries one checksum", "[program]") {
    CHECK(numbered("N7 M117 50% done*12\n", 7, false) == "N7 M117 50% done\n");
    CHECK(numbered("N7  %*12\n", 7, false) == "N7 %\n");
    CHECK(numbered("N7 M117 %*-12\n", 7, false) == "N7 M117 %*-12\n");
}

TEST_CASE("a bracket comment at a line's end is kept", "[program]") {
    CHECK(numbered("N1 G28 (home)\n", 5, false) == "N5 G28 (home)\n");
}

TEST_CASE("a line that is switched off stays so", "[program]") {
    CHECK(numbered("/N1 G28\n", 5, false).find('/') != std::string::npos);
    // A checksum covers all that stands before its star.
    const std::string out = numbered("/N1 G28*29\n", 5);
    grammar::Line line;
    grammar::parse_line(out, line);
    REQUIRE(line.has_checksum);
    CHECK(line.checksum == grammar::checksum_of(std::string_view(out).substr(0, out.find('*'))));
}

}  // namespace durograde
