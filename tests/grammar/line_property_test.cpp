#include <rapidcheck.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <string>

#include "hand_reader.hpp"
#include "line.hpp"

namespace durograde {
namespace {

using grammar_test::HandLine;
using grammar_test::HandWord;

grammar::Line parsed(const std::string& text) {
    grammar::Line line;
    grammar::parse_line(text, line);
    return line;
}

/// Lines of what files are made of, now and then with something out of place.
rc::Gen<std::string> lines() {
    const auto token = rc::gen::weightedOneOf<std::string>(
        {{12, rc::gen::elementOf(std::vector<std::string>{"G1", "X", "Y-", "Z+", "e", "F", "N12",
                                                          "m104", "S", "T0", "g92", "I", "J"})},
         {12, rc::gen::elementOf(std::vector<std::string>{
                  "0", "1", "12", ".5", "3.", "-7", "+2.25", "1e5", "0.000", "000123",
                  "99999.99999", "1234567890123456", "0.0000000000000001"})},
         {6, rc::gen::elementOf(std::vector<std::string>{" ", "\t", "  "})},
         {2, rc::gen::elementOf(std::vector<std::string>{"(a)", "(b*2)", "(", ")", ";", "; tail",
                                                         "\"q\"", "\"", "*", "*57", "* 3", "/", "%",
                                                         ".", "-"})},
         {1, rc::gen::map(rc::gen::arbitrary<char>(), [](char c) { return std::string(1, c); })}});
    return rc::gen::map(rc::gen::container<std::vector<std::string>>(token),
                        [](const std::vector<std::string>& tokens) {
                            std::string line;
                            for (const std::string& t : tokens) line += t;
                            return line;
                        });
}

void require_same_word(const grammar::Word& word, const HandWord& hand) {
    RC_ASSERT(word.letter == hand.letter);
    RC_ASSERT(word.letter_at == hand.at);
    const char kind = word.value == grammar::Value::number ? 'd'
                      : word.value == grammar::Value::text ? 't'
                                                           : 'n';
    RC_ASSERT(kind == hand.kind);
    // strtod rounds correctly, and so must mantissa / 10^decimals.
    if (kind == 'd') RC_ASSERT(word.number() == std::strtod(hand.digits.c_str(), nullptr));
}

void require_same(const grammar::Line& line, HandLine hand) {
    RC_ASSERT(line.error_at == hand.error_at);
    RC_ASSERT(line.comment_at == hand.comment_at);
    RC_ASSERT(line.deleted == hand.deleted);
    RC_ASSERT(line.has_inline_comment == hand.inline_comment);
    RC_ASSERT(line.has_checksum == (hand.checksum >= 0));
    if (line.has_checksum) RC_ASSERT(line.checksum == hand.checksum);
    const bool numbered = !hand.words.empty() && hand.words[0].letter == 'N' &&
                          hand.words[0].kind == 'd' &&
                          hand.words[0].digits.find('.') == std::string::npos;
    // "N5." has a point and no decimals: it is a whole number all the same.
    const bool pointed = !hand.words.empty() && hand.words[0].letter == 'N' &&
                         hand.words[0].kind == 'd' && hand.words[0].digits.back() == '.';
    RC_ASSERT(line.has_number == (numbered || pointed));
    if (line.has_number) {
        RC_ASSERT(line.number == std::atoll(hand.words[0].digits.c_str()));
        hand.words.erase(hand.words.begin());
    }
    RC_ASSERT(line.word_count == hand.words.size());
    for (std::size_t i = 0; i < hand.words.size(); ++i)
        require_same_word(line.words[i], hand.words[i]);
}

}  // namespace

TEST_CASE("the grammar agrees with a slow reader on random lines", "[grammar]") {
    REQUIRE(rc::check("same words, places and errors", [] {
        for (int i = 0; i < 200; ++i) {
            const std::string text = *lines();
            RC_LOG() << '[' << text << "]\n";
            require_same(parsed(text), grammar_test::HandReader(text).read());
        }
    }));
}

TEST_CASE("any bytes make a line whose places lie within it", "[grammar]") {
    REQUIRE(rc::check("total", [](const std::string& text) {
        const grammar::Line line = parsed(text);
        RC_ASSERT(line.error_at <= text.size());
        RC_ASSERT(line.comment_at <= text.size());
        RC_ASSERT(line.body_begin <= line.body_end);
        RC_ASSERT(line.body_end <= text.size());
        RC_ASSERT(line.word_count <= grammar::word_limit);
        if (line.has_checksum) RC_ASSERT(text.at(line.checksum_at) == '*');
        for (std::uint32_t i = 0; i < line.word_count; ++i) {
            const grammar::Word& word = line.words[i];
            RC_ASSERT((word.letter >= 'A' && word.letter <= 'Z'));
            RC_ASSERT((text.at(word.letter_at) | 0x20) == (word.letter | 0x20));
            if (word.value != grammar::Value::none) RC_ASSERT(word.begin < word.end);
        }
        require_same(line, grammar_test::HandReader(text).read());
    }));
}

TEST_CASE("a line that is parsed again into the same memory holds nothing of the last one",
          "[grammar]") {
    REQUIRE(rc::check("reuse", [] {
        const std::string first = *lines(), second = *lines();
        grammar::Line reused;
        grammar::parse_line(first, reused);
        grammar::parse_line(second, reused);
        require_same(reused, grammar_test::HandReader(second).read());
    }));
}

}  // namespace durograde
