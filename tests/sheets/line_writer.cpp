/// @file
#include "line_writer.hpp"

#include <array>
#include <utility>

namespace durograde::sheets {
namespace {

/// Big enough that the sink's own cost does not show.
constexpr std::size_t chunk_bytes = std::size_t{1} << 18U;
/// No line is longer.
constexpr std::size_t slack_bytes = 4096;

char lowered(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
}

}  // namespace

LineWriter::LineWriter(const Style& style, Sink sink) : style_(style), sink_(std::move(sink)) {
    buffer_.reserve(chunk_bytes + slack_bytes);
}

void LineWriter::command(std::string_view text, std::string_view comment) {
    begin_line();
    for (const char byte : text) {
        if (byte == ' ') {
            add_blank();
        } else {
            add_letter(byte);
        }
    }
    end_line(comment);
}

void LineWriter::verbatim(std::string_view text) {
    buffer_ += text;
    add_newline();
}

void LineWriter::comment(std::string_view text) {
    buffer_ += "; ";
    verbatim(text);
}

void LineWriter::begin_move(int code) {
    begin_line();
    if (style_.modal && code == last_code_) return;
    last_code_ = code;
    word('G', code, 0);
}

void LineWriter::word(char letter, std::int64_t value, int decimals) {
    if (buffer_.size() > words_at_) add_blank();
    add_letter(letter);
    add_number(value, decimals);
}

void LineWriter::end_line(std::string_view comment) {
    if (style_.line_numbers) add_checksum();
    if (!comment.empty()) {
        buffer_ += " ; ";
        buffer_ += comment;
    }
    add_newline();
}

void LineWriter::finish() {
    if (!style_.end_newline && !buffer_.empty()) {
        buffer_.pop_back();
        if (style_.crlf) buffer_.pop_back();
    }
    if (!buffer_.empty()) sink_(buffer_);
    buffer_.clear();
}

void LineWriter::begin_line() {
    // Before a line and not after it, so that the last line end is still there for finish().
    if (buffer_.size() >= chunk_bytes) {
        sink_(buffer_);
        buffer_.clear();
    }
    line_at_ = words_at_ = buffer_.size();
    if (!style_.line_numbers) return;
    word('N', line_number_++, 0);
    add_blank();
    words_at_ = buffer_.size();
}

void LineWriter::add_blank() {
    if (!style_.no_blanks) buffer_ += ' ';
}

void LineWriter::add_letter(char letter) {
    buffer_ += style_.lower_case ? lowered(letter) : letter;
}

void LineWriter::add_number(std::int64_t value, int decimals) {
    if (style_.trim_zeros) {
        for (; decimals > 0 && value % 10 == 0; --decimals) value /= 10;
    }
    std::array<char, 32> digits;  // filled from its end, so that no pass counts them first
    std::size_t at = digits.size();
    std::uint64_t rest = static_cast<std::uint64_t>(value < 0 ? -value : value);
    for (int place = 0; place < decimals; ++place, rest /= 10) {
        digits[--at] = static_cast<char>('0' + rest % 10);
    }
    if (decimals > 0) digits[--at] = '.';
    if (rest == 0 && !(style_.bare_point && decimals > 0)) digits[--at] = '0';
    for (; rest > 0; rest /= 10) digits[--at] = static_cast<char>('0' + rest % 10);
    if (value < 0) digits[--at] = '-';
    buffer_.append(digits.data() + at, digits.size() - at);
}

void LineWriter::add_checksum() {
    unsigned sum = 0;
    for (std::size_t at = line_at_; at < buffer_.size(); ++at) {
        sum ^= static_cast<unsigned char>(buffer_[at]);
    }
    buffer_ += '*';
    add_number(sum, 0);
}

void LineWriter::add_newline() {
    if (style_.crlf) buffer_ += '\r';
    buffer_ += '\n';
}

}  // namespace durograde::sheets
