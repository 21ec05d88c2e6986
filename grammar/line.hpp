#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string_view>

namespace durograde::grammar {

/// What follows a word's letter.
enum class Value : std::uint8_t {
    none,    ///< nothing: "G28 X"
    number,  ///< plain decimals: "X-.5"
    text,    ///< a quoted string: A"left pad"
};

/// One word of a line: a letter and its number, kept exactly as mantissa and decimals.
struct Word {
    char letter = 0;  ///< upper case
    Value value = Value::none;
    std::uint8_t decimals = 0;    ///< digits after the point
    std::uint32_t letter_at = 0;  ///< byte offset of the letter
    std::uint32_t begin = 0;      ///< byte range of the number as written, sign included
    std::uint32_t end = 0;
    std::int64_t mantissa = 0;  ///< number = mantissa / 10^decimals

    [[nodiscard]] double number() const noexcept {
        // Powers of ten up to 10^22 are exact, so one division rounds correctly.
        constexpr std::array<double, 16> power = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                  1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
        return static_cast<double>(mantissa) / power[decimals];
    }
    [[nodiscard]] bool is_whole(std::int64_t whole) const noexcept;
    /// The number as the index of a tool or an object; none where it is a fraction or too large.
    [[nodiscard]] std::optional<int> index() const noexcept;
};

inline constexpr std::size_t word_limit = 32;   ///< words a line may hold
inline constexpr std::size_t digit_limit = 15;  ///< significant digits a number may hold, so that a
                                                ///< double gives it back exactly

/// A parsed line. It is meant to be reused from line to line; it refers to no memory of its own.
struct Line {
    std::array<Word, word_limit> words;  ///< without the leading N word
    std::uint32_t word_count = 0;
    std::uint32_t letters =
        0;  ///< bit 0 for A: letters that occur, so that looking one up is quick
    std::uint32_t repeated = 0;    ///< letters that occur more than once
    std::uint32_t body_begin = 0;  ///< where the first word after N stands
    std::uint32_t body_end = 0;    ///< just past the last word: before '*', blanks and ';'
    std::uint32_t comment_at = 0;  ///< offset of ';', or the size of the text
    std::uint32_t error_at = 0;    ///< column (from 1) of the first byte that fits no rule, or 0
    std::int64_t number = 0;       ///< of the leading N word
    std::uint32_t checksum = 0;
    std::uint32_t checksum_at = 0;  ///< offset of '*'
    bool has_number = false;
    bool has_checksum = false;
    bool has_inline_comment = false;
    bool deleted = false;   ///< begins with the block-delete '/'
    bool extended = false;  ///< its first word is a name (END_JOB), not a letter with a number

    [[nodiscard]] bool has(char letter) const noexcept {
        return (letters >> (letter - 'A') & 1U) != 0;
    }
    /// The first word of this letter, or null.
    [[nodiscard]] const Word* find(char letter) const noexcept {
        if (!has(letter)) return nullptr;
        const Word* word = words.data();
        const Word* const end = word + word_count;
        while (word != end && word->letter != letter) ++word;
        return word == end ? nullptr : word;
    }
    [[nodiscard]] bool is_malformed() const noexcept { return error_at != 0; }
};

/// Parses one line (without its end) into `line`. Total: bytes that fit no rule leave `error_at`.
///
/// Words follow RS274/NGC (Kramer, Proctor, Messina, NISTIR 6556, 3.3): letters of either case,
/// blanks anywhere, numbers without exponent, round-bracket comments that do not nest; extended by
/// ';' comments, N…*checksum, letters without a number, quoted strings and commands that are a name
/// with parameters of their own, such as PICK_TRAY ROW=2 (common practice, no source). Of these the
/// words mean nothing.
void parse_line(std::string_view text, Line& line);

/// XOR of the bytes, as the checksum after '*' wants it (common practice, no source).
std::uint8_t checksum_of(std::string_view bytes) noexcept;

}  // namespace durograde::grammar
