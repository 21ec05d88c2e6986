#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <memory>
#include <string>

#include "line.hpp"
#include "targets.hpp"
#include "text/file.hpp"
#include "text/line_source.hpp"

namespace durograde::fuzz {
namespace {

using grammar::Line;
using grammar::Value;
using grammar::Word;

bool same(const Word& a, const Word& b) {
    const bool same_number = a.mantissa == b.mantissa && a.decimals == b.decimals;
    return a.letter == b.letter && a.value == b.value && a.letter_at == b.letter_at &&
           (a.value == Value::none || (a.begin == b.begin && a.end == b.end)) &&
           (a.value != Value::number || same_number);
}

bool same(const Line& a, const Line& b) {
    return a.word_count == b.word_count && a.letters == b.letters && a.repeated == b.repeated &&
           a.body_begin == b.body_begin && a.body_end == b.body_end &&
           a.comment_at == b.comment_at && a.error_at == b.error_at &&
           a.has_number == b.has_number && a.has_checksum == b.has_checksum &&
           a.deleted == b.deleted && (!a.has_number || a.number == b.number) &&
           (!a.has_checksum || a.checksum == b.checksum) &&
           std::equal(a.words.begin(), a.words.begin() + a.word_count, b.words.begin(),
                      [](const Word& x, const Word& y) { return same(x, y); });
}

/// The C library reads the same number from the same bytes, blanks taken out.
void promise_number(std::string_view text, const Word& word) {
    std::string written(text.substr(word.begin, word.end - word.begin));
    std::erase_if(written, [](char byte) { return byte == ' ' || byte == '\t'; });
    char* end = nullptr;
    const double expected = std::strtod(written.c_str(), &end);
    promise(end == written.c_str() + written.size(), "a number's bytes are no number");
    promise(word.number() == expected, "a number is not what its bytes say");
}

void promise_words(std::string_view text, const Line& line) {
    promise(line.word_count <= grammar::word_limit, "too many words");
    std::size_t free_from = 0;
    for (std::uint32_t i = 0; i < line.word_count; ++i) {
        const Word& word = line.words[i];
        promise(word.letter >= 'A' && word.letter <= 'Z', "a word's letter is none");
        promise(line.has(word.letter), "a word's letter is not marked");
        promise(word.letter_at >= free_from && word.letter_at < text.size(), "words overlap");
        promise((text[word.letter_at] & ~0x20) == word.letter, "a letter is not where it says");
        free_from = word.letter_at + 1;
        if (word.value == Value::none) continue;
        promise(word.begin >= free_from && word.end > word.begin && word.end <= text.size(),
                "a value lies outside of its line");
        free_from = word.end;
        if (word.value == Value::number) promise_number(text, word);
    }
    promise(free_from <= std::max<std::size_t>(line.body_end, line.body_begin),
            "a word lies behind the body");
}

void promise_line(std::string_view text) {
    Line line;
    grammar::parse_line(text, line);
    promise_words(text, line);
    promise(line.body_begin <= text.size() && line.body_end <= text.size(), "body outside");
    promise(line.comment_at == text.size() || text[line.comment_at] == ';', "no comment there");
    promise(line.error_at <= text.size(), "the error lies outside");
    promise(!line.has_checksum || text[line.checksum_at] == '*', "no checksum there");
    // A line that is used again forgets what it held.
    Line again;
    grammar::parse_line("/N5 G1 X1 X2 (a) Y\"b\" *71 ; c", again);
    grammar::parse_line(text, again);
    promise(same(line, again), "a line that is used again reads otherwise");
}

/// A pipe that gives each piece in a read of its own (pipe(2), O_DIRECT).
File pipe_of_pieces(std::string_view bytes, std::size_t piece) {
    std::array<int, 2> ends{};
    if (::pipe2(ends.data(), O_DIRECT | O_CLOEXEC) != 0) std::abort();
    File reading(ends[0]), writing(ends[1]);
    for (; !bytes.empty(); bytes.remove_prefix(std::min(piece, bytes.size())))
        write_all(writing.fd(), bytes.substr(0, piece), "pieces");
    return reading;
}

void promise_pieces(std::string_view bytes, std::size_t piece) {
    const File file = pipe_of_pieces(bytes, piece);
    LineSource source(file.fd(), "pieces");
    RawLine line;
    std::uint64_t offset = 0, number = 0;
    while (source.next(line)) {
        const std::size_t feed = bytes.find('\n', offset);
        const std::size_t end = feed == std::string_view::npos ? bytes.size() : feed + 1;
        promise(line.offset == offset && line.end_offset() == end, "a line is cut elsewhere");
        promise(line.number == ++number, "lines are counted wrongly");
        promise(
            std::string(line.text) + std::string(line.ending) == bytes.substr(offset, end - offset),
            "bytes were changed");
        promise(line.text.find('\n') == std::string_view::npos, "a line holds another");
        offset = end;
    }
    promise(offset == bytes.size(), "lines are missing");
}

}  // namespace

void try_lines(std::string_view bytes) {
    // A pipe holds sixteen pieces of 4 KiB before somebody reads.
    constexpr std::size_t most_pieces = 15, longest_piece = 4000;
    bytes = bytes.substr(0, most_pieces * longest_piece);
    promise_line(bytes);
    const std::size_t wanted = bytes.empty() ? 1 : static_cast<unsigned char>(bytes[0]) * 16 + 1;
    promise_pieces(bytes, std::clamp(wanted, bytes.size() / most_pieces + 1, longest_piece));
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t feed = std::min(bytes.find('\n', at), bytes.size());
        promise_line(bytes.substr(at, feed - at));
        at = feed + 1;
    }
}

}  // namespace durograde::fuzz
