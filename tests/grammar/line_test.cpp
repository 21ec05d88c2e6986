#include "line.hpp"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

/// Rules and examples of RS274/NGC (Kramer, Proctor, Messina, The NIST RS274NGC Interpreter,
/// Version 3, NISTIR 6556, 2000, section 3.3). Where files for extruding machines go further:
/// common practice, no source.
namespace durograde {
namespace {

grammar::Line parsed(std::string_view text) {
    grammar::Line line;
    grammar::parse_line(text, line);
    return line;
}

/// Words as letter and number, such as "G0 X0.1234 Y7", a letter without a number as "X?".
std::string words_of(std::string_view text) {
    const grammar::Line line = parsed(text);
    std::string out;
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const grammar::Word& word = line.words[i];
        if (i > 0) out += ' ';
        out += word.letter;
        if (word.value == grammar::Value::none) out += '?';
        if (word.value == grammar::Value::text) {
            out += text.substr(word.begin, word.end - word.begin);
        }
        if (word.value != grammar::Value::number) continue;
        std::string number = std::to_string(word.number());
        number.erase(number.find_last_not_of('0') + 1);
        if (number.back() == '.') number.pop_back();
        out += number;
    }
    return out;
}

std::uint32_t error_column(std::string_view text) {
    return parsed(text).error_at;
}

struct Sample {
    std::string_view text, words;
};

}  // namespace

TEST_CASE("numbers and blanks are read as RS274/NGC says", "[grammar]") {
    const std::vector<Sample> samples = {
        {"g0x +0. 12 34y 7", "G0 X0.1234 Y7"},  // the standard's own example, 3.3
        {"G1 X.5", "G1 X0.5"},
        {"G1 X-.5", "G1 X-0.5"},
        {"G1 X5.", "G1 X5"},
        {"G1 X+5", "G1 X5"},
        {"G1 X007.2500", "G1 X7.25"},
        {"g\t1 x 1 2 . 5\t", "G1 X12.5"},
        {"G1 X - 5", "G1 X-5"},
        {"", ""},
        {" \t ", ""},
    };
    for (const auto& [text, words] : samples) {
        CAPTURE(text);
        CHECK(words_of(text) == words);
        CHECK(error_column(text) == 0);
    }
}

TEST_CASE("what is no number leaves the letter alone and points at the rest", "[grammar]") {
    CHECK(words_of("G1 X") == "G1 X?");
    CHECK(error_column("G1 X") == 0);  // a letter alone is a word: "G28 X"
    CHECK(error_column("G1 X.") == 5);
    CHECK(error_column("G1 X-") == 5);
    CHECK(error_column("G1 X+.") == 5);
    CHECK(error_column("G1 X---10") == 5);
    CHECK(error_column("G1 X1.2.3") == 8);
    CHECK(error_column("G92..1") == 5);
    CHECK(error_column("G1 Z30.3.3 E1") == 9);
    CHECK(error_column("G1 X1,5") == 6);  // a decimal comma
    CHECK(error_column("G1 X5 %") == 7);
    CHECK(error_column("\r") == 1);
}

TEST_CASE("no letter within a line is ever an exponent or a prefix of a number", "[grammar]") {
    CHECK(words_of("G1X1E2") == "G1 X1 E2");
    CHECK(words_of("G0X10Y10") == "G0 X10 Y10");
    CHECK(words_of("G0Y0X10") == "G0 Y0 X10");
    CHECK(words_of("G1X348.7Y55.133E2.35") == "G1 X348.7 Y55.133 E2.35");
    CHECK(words_of("G1 X1E5") == "G1 X1 E5");
    CHECK(words_of("G1 X1e30") == "G1 X1 E30");
    CHECK(words_of("G1 Xnan") == "G1 X? N? A? N?");
    CHECK(words_of("G1 Xinf") == "G1 X? I? N? F?");
    CHECK(words_of("G1 X0x1p3") == "G1 X0 X1 P3");
}

TEST_CASE("numbers are kept exactly, up to the digits that a double gives back", "[grammar]") {
    const grammar::Line line = parsed("G1 X0.1 Y-123456789.012345 Z0.000000000000001 E-0.0");
    CHECK(line.words[1].mantissa == 1);
    CHECK(line.words[1].decimals == 1);
    CHECK(line.words[1].number() == 0.1);
    CHECK(line.words[2].number() == -123456789.012345);
    CHECK(line.words[3].number() == 1e-15);
    CHECK(line.words[4].number() == 0.0);
    CHECK(line.words[4].decimals == 1);
    CHECK(error_column("G1 X999999999999999") == 0);   // 15 digits
    CHECK(error_column("G1 X1000000000000000") == 5);  // 16
    CHECK(error_column("G1 X0.0000000000000001") == 5);
    CHECK(error_column("G1 X0000000000000000000005") == 0);  // zeros in front do not matter
    CHECK(error_column("G1 X" + std::string(320, '9')) == 5);
}

TEST_CASE("whole numbers may be written with decimals", "[grammar]") {
    const grammar::Line line = parsed("G1.0 M104.5 T-2 P");
    CHECK(line.words[0].is_whole(1));
    CHECK_FALSE(line.words[0].is_whole(10));
    CHECK_FALSE(line.words[1].is_whole(104));
    CHECK(line.words[2].is_whole(-2));
    CHECK_FALSE(line.words[3].is_whole(0));
}

TEST_CASE("line numbers stand apart from the words", "[grammar]") {
    const grammar::Line line = parsed(" n00009 G1 X2");
    CHECK(line.has_number);
    CHECK(line.number == 9);
    CHECK(line.word_count == 2);
    CHECK(line.body_begin == 8);
    CHECK(line.body_end == 13);
    // The standard allows five digits; programs for extruding machines have more lines (common
    // practice).
    CHECK(parsed("N1234567 G1").number == 1234567);
    CHECK_FALSE(parsed("G1 N5").has_number);
    CHECK_FALSE(parsed("N1.5 G1").has_number);
    const grammar::Line alone = parsed("N7 ; nothing else");
    CHECK(alone.has_number);
    CHECK(alone.word_count == 0);
    CHECK(alone.comment_at == 3);
}

TEST_CASE("comments: in round brackets, which do not nest, and after a semicolon", "[grammar]") {
    CHECK(words_of("G1 (pad 3) X5 (MSG, tray) Y6") == "G1 X5 Y6");
    CHECK(parsed("G1 (pad 3) X5").has_inline_comment);
    CHECK_FALSE(parsed("G1 X5 ; (pad 3)").has_inline_comment);
    CHECK(error_column("(a (b) c)") == 1);
    CHECK(error_column("G1 X1 (open") == 7);
    CHECK(error_column("G1 X1 )") == 7);
    CHECK(error_column("; (a (b) c") == 0);
    CHECK(parsed("G1 X5;tail").comment_at == 5);
    CHECK(parsed("G1 X5").comment_at == 5);
    CHECK(words_of("G1 X1(between)2") == "G1 X1");
    CHECK(error_column("G1 X1(between)2") == 15);
    const std::string odd =
        std::string("G1 X5 ;") + '\0' + "\x01\x1b\xff\xfe" + std::string(21'000, 'x');
    CHECK(words_of(odd) == "G1 X5");
    CHECK(error_column(odd) == 0);
}

TEST_CASE("block delete is noted", "[grammar]") {
    CHECK(parsed("/G1 X5").deleted);
    CHECK(parsed(" / G1 X5").deleted);
    CHECK_FALSE(parsed("G1 X5").deleted);
    CHECK(error_column("G1 / X5") == 4);
}

TEST_CASE("lines that real files hold", "[grammar]") {
    const std::vector<Sample> samples = {
        {"G1 E.0246", "G1 E0.0246"},
        {"G1 Z.3", "G1 Z0.3"},
        {"G1 Z+0.5", "G1 Z0.5"},
        {"G1 X-0.0", "G1 X0"},
        {"G1 X -5", "G1 X-5"},
        {"F140", "F140"},
        {"X10 Y5", "X10 Y5"},
        {"G53 G90 G40", "G53 G90 G40"},
        {"M842 M1 P31 S0", "M842 M1 P31 S0"},
        {"T4711", "T4711"},
        {"M8620 S0A", "M8620 S0 A?"},
        {"G88.1 Z0", "G88.1 Z0"},
        {"G1 X Y Z E", "G1 X? Y? Z? E?"},
        {"M106 S192.333333", "M106 S192.333333"},
        {"   G1 X5", "G1 X5"},
        {"M486 S0 A\"left pad; tray (3\"", "M486 S0 A\"left pad; tray (3\""},
        {"\xEF\xBB\xBFG1 X5", "G1 X5"},
    };
    for (const auto& [text, words] : samples) {
        CAPTURE(text);
        CHECK(words_of(text) == words);
        CHECK(error_column(text) == 0);
    }
    CHECK(error_column("\xEF\xBB\xBF; begins with a mark") == 0);
    CHECK(error_column("print the next tray, please.") == 20);
    CHECK(error_column("M117 50% done") == 8);
    CHECK(error_column("M486 A\"left pad") == 7);
}

TEST_CASE("a line holds at most as many words as there is room for", "[grammar]") {
    std::string text;
    for (std::size_t i = 0; i < grammar::word_limit; ++i) text += "X1";
    CHECK(parsed(text).word_count == grammar::word_limit);
    CHECK(error_column(text) == 0);
    CHECK(error_column(text + "Y2") == text.size() + 1);
}

TEST_CASE("looking up a letter gives its first word", "[grammar]") {
    const grammar::Line line = parsed("G1 X1 Y2 x3");
    REQUIRE(line.find('X') != nullptr);
    CHECK(line.find('X')->number() == 1);
    CHECK(line.find('Y')->letter_at == 6);
    CHECK(line.find('Z') == nullptr);
    CHECK_FALSE(line.has('E'));
    CHECK(parsed("N5").find('N') == nullptr);
}

TEST_CASE("an index is a whole number that an int holds", "[grammar]") {
    const auto index = [](std::string_view word) { return parsed(word).words[0].index(); };
    CHECK(index("T12") == 12);
    CHECK(index("S-1") == -1);
    CHECK(index("T2.00") == 2);
    CHECK(index("T2147483647") == 2147483647);
    for (const char* none :
         {"T1.5", "T2147483648", "T-2147483649", "T999999999999999", "T", "T\"a\""})
        CHECK_FALSE(index(none).has_value());
}

}  // namespace durograde
