#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

/// A slow reader of one line, by the rules of RS274/NGC (Kramer, Proctor, Messina, NISTIR
/// 6556, 3.3) and the extensions that grammar/line.hpp names. It first throws away what has no
/// meaning, then reads what is left glyph by glyph: nothing is shared with the grammar under test.
namespace durograde::grammar_test {

struct HandWord {
    char letter = 0;
    char kind = 'n';     ///< n: nothing follows, d: digits, t: text
    std::string digits;  ///< sign, whole and fractional digits as written, blanks left out
    std::size_t at = 0;  ///< offset of the letter
};

struct HandLine {
    std::vector<HandWord> words;  ///< the N word first, where there is one
    std::size_t error_at = 0;     ///< column from 1, or 0
    std::size_t comment_at = 0;   ///< offset of ';', or the size
    long long checksum = -1;
    bool inline_comment = false, deleted = false;
};

class HandReader {
  public:
    explicit HandReader(std::string_view text) : text_(text) {}

    HandLine read() {
        line_.comment_at = text_.size();
        if (text_.substr(0, 3) == "\xEF\xBB\xBF") at_ = 3;
        skip_blanks();
        line_.deleted = take('/');
        skip_blanks();
        while (word() || round_comment()) skip_blanks();
        checksum();
        skip_blanks();
        if (at_ < text_.size() && text_[at_] == ';') {
            line_.comment_at = at_;
            at_ = text_.size();
        }
        if (at_ < text_.size()) line_.error_at = at_ + 1;
        if (line_.error_at == 0) judge_line_number();
        return std::move(line_);
    }

  private:
    static constexpr std::size_t most_words = 32, most_digits = 15;

    /// A line number has no decimals.
    void judge_line_number() {
        if (line_.words.empty() || line_.words[0].letter != 'N') return;
        const HandWord& number = line_.words[0];
        const std::size_t point = number.digits.find('.');
        const bool decimals =
            number.kind == 'd' && point != std::string::npos && point + 1 < number.digits.size();
        if (decimals) line_.error_at = text_.find_first_not_of(" \t", number.at + 1) + 1;
    }
    void skip_blanks() {
        while (at_ < text_.size() && (text_[at_] == ' ' || text_[at_] == '\t')) ++at_;
    }
    bool take(char byte) {
        if (at_ == text_.size() || text_[at_] != byte) return false;
        ++at_;
        return true;
    }

    bool word() {
        static constexpr std::string_view upper = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
        static constexpr std::string_view lower = "abcdefghijklmnopqrstuvwxyz";
        if (at_ == text_.size() || line_.words.size() == most_words) return false;
        std::size_t index = upper.find(text_[at_]);
        if (index == std::string_view::npos) index = lower.find(text_[at_]);
        if (index == std::string_view::npos) return false;
        HandWord word;
        word.letter = upper[index];
        word.at = at_++;
        const std::size_t after_letter = at_;
        skip_blanks();
        if (!number(word) && !quoted(word)) at_ = after_letter;
        line_.words.push_back(word);
        return true;
    }

    /// All bytes that may belong to a number are gathered; then they are judged as a whole.
    bool number(HandWord& word) {
        std::size_t at = at_, end = at_;
        std::string written;
        bool point = false;
        for (; at < text_.size(); ++at) {
            const char byte = text_[at];
            const bool sign = (byte == '+' || byte == '-') && at == at_;
            const bool digit = byte >= '0' && byte <= '9';
            const bool first_point = byte == '.' && !point;
            if (byte == ' ' || byte == '\t') continue;
            if (!sign && !digit && !first_point) break;
            point = point || byte == '.';
            written += byte;
            end = at + 1;
        }
        if (written.find_first_of("0123456789") == std::string::npos || too_long(written))
            return false;
        word.kind = 'd';
        word.digits = written;
        at_ = end;
        return true;
    }

    static bool too_long(const std::string& written) {
        const std::size_t first = written.find_first_of("123456789");
        std::size_t significant = 0;
        for (std::size_t i = first; i < written.size(); ++i)
            significant += written[i] == '.' ? 0 : 1;
        const std::size_t point = written.find('.');
        const std::size_t decimals = point == std::string::npos ? 0 : written.size() - point - 1;
        return significant > most_digits || decimals > most_digits;
    }

    bool quoted(HandWord& word) {
        if (at_ == text_.size() || text_[at_] != '"') return false;
        const std::size_t close = text_.find('"', at_ + 1);
        if (close == std::string_view::npos) return false;
        word.kind = 't';
        word.digits = text_.substr(at_, close + 1 - at_);
        at_ = close + 1;
        return true;
    }

    bool round_comment() {
        if (at_ == text_.size() || text_[at_] != '(') return false;
        const std::size_t next = text_.find_first_of("()", at_ + 1);
        if (next == std::string_view::npos || text_[next] == '(') return false;
        line_.inline_comment = true;
        at_ = next + 1;
        return true;
    }

    void checksum() {
        const std::size_t star = at_;
        if (!take('*')) return;
        skip_blanks();
        const std::size_t begin = at_;
        long long value = 0;
        while (at_ < text_.size() && text_[at_] >= '0' && text_[at_] <= '9' &&
               value <= UINT32_MAX) {
            value = value * 10 + (text_[at_++] - '0');
        }
        if (at_ == begin || value > UINT32_MAX) {
            at_ = star;
            return;
        }
        line_.checksum = value;
    }

    std::string_view text_;
    std::size_t at_ = 0;
    HandLine line_;
};

}  // namespace durograde::grammar_test
