#include "line.hpp"

#include <boost/spirit/home/x3.hpp>

namespace durograde::grammar {
namespace {

namespace x3 = boost::spirit::x3;

/// What the primitives below write to; reached through the parse context, so that the grammar holds
/// no state and is built once.
struct Target {
    Line& line;
    const char* begin;
};
struct target_tag;

template <typename Context>
Target& target_of(const Context& context) {
    return x3::get<target_tag>(context).get();
}

template <typename Context>
std::uint32_t offset_of(const Context& context, const char* at) {
    return static_cast<std::uint32_t>(at - target_of(context).begin);
}

constexpr bool is_blank(char byte) noexcept { return byte == ' ' || byte == '\t'; }
constexpr bool is_digit(char byte) noexcept { return byte >= '0' && byte <= '9'; }

/// One letter of either case: opens a word.
struct word_letter : x3::parser<word_letter> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        if (first == last) return false;
        const char letter = static_cast<char>(*first & ~0x20);
        Line& line = target_of(context).line;
        if (letter < 'A' || letter > 'Z' || line.word_count == word_limit) return false;
        Word& word = line.words[line.word_count++];
        word.letter = letter;
        word.value = Value::none;
        const std::uint32_t bit = 1U << (letter - 'A');
        line.repeated |= line.letters & bit;
        line.letters |= bit;
        word.letter_at = offset_of(context, first);
        ++first;
        line.body_end = offset_of(context, first);
        return true;
    }
};

/// Digits, and where they end.
struct Digits {
    std::int64_t mantissa = 0;
    const char* end = nullptr;
    std::size_t count = 0;  ///< of digits
};

inline Digits read_digits(const char* at, const char* last, std::int64_t mantissa) {
    const char* const begin = at;
    for (; at != last && is_digit(*at); ++at) mantissa = mantissa * 10 + (*at - '0');
    return {mantissa, at, static_cast<std::size_t>(at - begin)};
}

/// A number without exponent, read into the word opened last as mantissa and decimals. Blanks may
/// stand inside it (NISTIR 6556, 3.3.2.1). x3::double_ would read X1E2 as 100 and take nan and inf.
struct word_number : x3::parser<word_number> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        const char* at = first;
        const bool negative = at != last && *at == '-';
        if (at != last && (*at == '-' || *at == '+')) ++at;
        const Digits whole = read_digits(at, last, 0);
        const bool point = whole.end != last && *whole.end == '.';
        const Digits rest = point ? read_digits(whole.end + 1, last, whole.mantissa)
                                  : Digits{whole.mantissa, whole.end, 0};
        const char* next = rest.end;
        while (next != last && is_blank(*next)) ++next;
        const bool spaced = next != last && next != rest.end && (is_digit(*next) || *next == '.');
        const std::size_t digits = whole.count + rest.count;
        if (spaced || digits > digit_limit) return parse_slowly(first, last, context);
        if (digits == 0) return false;
        store(context, first, rest.end, negative ? -rest.mantissa : rest.mantissa,
              static_cast<std::uint8_t>(rest.count));
        first = rest.end;
        return true;
    }

  private:
    /// Blanks inside, or more digits than fit unless they are leading zeros.
    template <typename Context>
    static bool parse_slowly(const char*& first, const char* last, const Context& context) {
        const char* at = first;
        const bool negative = *at == '-';
        if (*at == '-' || *at == '+') ++at;
        std::int64_t mantissa = 0;
        std::size_t digits = 0, significant = 0;
        std::uint8_t decimals = 0;
        bool point = false;
        const char* end = at;
        for (; at != last; ++at) {
            if (is_digit(*at)) {
                mantissa = mantissa * 10 + (*at - '0');
                ++digits;
                if (mantissa != 0 && ++significant > digit_limit) return false;
                if (point && ++decimals > digit_limit) return false;
            } else if (*at == '.' && !point) {
                point = true;
            } else if (is_blank(*at)) {
                continue;
            } else {
                break;
            }
            end = at + 1;
        }
        if (digits == 0) return false;
        store(context, first, end, negative ? -mantissa : mantissa, decimals);
        first = end;
        return true;
    }

    template <typename Context>
    static void store(const Context& context, const char* begin, const char* end,
                      std::int64_t mantissa, std::uint8_t decimals) {
        Line& line = target_of(context).line;
        Word& word = line.words[line.word_count - 1];
        word.value = Value::number;
        word.decimals = decimals;
        word.mantissa = mantissa;
        word.begin = offset_of(context, begin);
        word.end = offset_of(context, end);
        line.body_end = word.end;
    }
};

/// Any blanks, or none.
struct any_blanks : x3::parser<any_blanks> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context&, Rule&, Attribute&) const {
        while (first != last && is_blank(*first)) ++first;
        return true;
    }
};

/// "…": the text value of the word opened last.
struct word_text : x3::parser<word_text> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        if (first == last || *first != '"') return false;
        const char* at = first + 1;
        while (at != last && *at != '"') ++at;
        if (at == last) return false;
        Line& line = target_of(context).line;
        Word& word = line.words[line.word_count - 1];
        word.value = Value::text;
        word.begin = offset_of(context, first);
        word.end = offset_of(context, at + 1);
        line.body_end = word.end;
        first = at + 1;
        return true;
    }
};

/// ';' and all that follows, whatever the bytes.
struct rest_comment : x3::parser<rest_comment> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        if (first == last || *first != ';') return false;
        target_of(context).line.comment_at = offset_of(context, first);
        first = last;
        return true;
    }
};

const auto mark_inline_comment = [](auto& context) {
    target_of(context).line.has_inline_comment = true;
};
const auto mark_deleted = [](auto& context) { target_of(context).line.deleted = true; };
const auto mark_checksum = [](auto& context) {
    Line& line = target_of(context).line;
    line.has_checksum = true;
    line.checksum = x3::_attr(context);
};

/// '*': where the checksum begins.
struct checksum_star : x3::parser<checksum_star> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        if (first == last || *first != '*') return false;
        target_of(context).line.checksum_at = offset_of(context, first);
        ++first;
        return true;
    }
};

const auto blanks = any_blanks{};
const auto value = word_number{} | word_text{};
const auto word = word_letter{} >> -(blanks >> value);
const auto inline_comment =
    (x3::lit('(') >> x3::omit[*(x3::char_ - x3::char_("()"))] >> x3::lit(')'))[mark_inline_comment];
const auto checksum = checksum_star{} >> blanks >> x3::uint_[mark_checksum];
const auto line_rule = blanks >> -x3::lit('/')[mark_deleted] >> blanks >>
                       *((word | inline_comment) >> blanks) >> -(checksum >> blanks) >>
                       -rest_comment{};

/// The leading N word is no word of the command: it moves out of the list.
void take_line_number(Line& line) {
    if (line.word_count == 0) return;
    const Word first = line.words[0];
    line.body_begin = first.letter_at;
    if (first.letter != 'N' || first.value != Value::number || first.decimals != 0) return;
    line.has_number = true;
    line.number = first.mantissa;
    for (std::uint32_t i = 1; i < line.word_count; ++i) line.words[i - 1] = line.words[i];
    --line.word_count;
    line.body_begin = line.word_count > 0 ? line.words[0].letter_at : first.end;
}

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

}  // namespace

double Word::number() const noexcept {
    // Powers of ten up to 10^22 are exact, so one division rounds correctly.
    static constexpr std::array<double, 16> power = {1e0, 1e1, 1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                                     1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15};
    return static_cast<double>(mantissa) / power[decimals];
}

bool Word::is_whole(std::int64_t whole) const noexcept {
    if (value != Value::number) return false;
    std::int64_t scaled = whole;
    for (unsigned i = 0; i < decimals; ++i) scaled *= 10;
    return mantissa == scaled;
}

void parse_line(std::string_view text, Line& line) {
    const char* const begin = text.data();
    const char* first = begin;
    const char* const last = begin + text.size();
    line.word_count = line.letters = line.repeated = 0;
    line.body_begin = line.body_end = 0;
    line.comment_at = static_cast<std::uint32_t>(text.size());
    line.error_at = 0;
    line.has_number = line.has_checksum = line.has_inline_comment = line.deleted = false;
    if (text.starts_with(byte_order_mark)) first += byte_order_mark.size();

    Target target{line, begin};
    const auto parser = x3::with<target_tag>(std::ref(target))[line_rule];
    x3::parse(first, last, parser);
    if (first != last) line.error_at = static_cast<std::uint32_t>(first - begin) + 1;
    take_line_number(line);
}

std::uint8_t checksum_of(std::string_view bytes) noexcept {
    std::uint8_t sum = 0;
    for (const char byte : bytes) sum = static_cast<std::uint8_t>(sum ^ static_cast<std::uint8_t>(byte));
    return sum;
}

}  // namespace durograde::grammar
