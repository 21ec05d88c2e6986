#include "line.hpp"

#include <boost/spirit/home/x3.hpp>
#include <cmath>
#include <limits>

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

constexpr bool is_blank(char byte) noexcept {
    return byte == ' ' || byte == '\t';
}
constexpr bool is_digit(char byte) noexcept {
    return byte >= '0' && byte <= '9';
}

/// A number as read: sign, digits, point, and where it ends.
struct Number {
    std::int64_t mantissa = 0;
    const char* end = nullptr;  ///< null where there is none
    std::uint8_t decimals = 0;
};

/// Reads blanks inside, and more digits than fit unless they are leading zeros.
Number read_number_slowly(const char* at, const char* last) {
    const bool negative = *at == '-';
    if (*at == '-' || *at == '+') ++at;
    Number number;
    std::size_t digits = 0, significant = 0;
    bool point = false;
    const char* end = at;
    for (; at != last; ++at) {
        if (is_digit(*at)) {
            number.mantissa = number.mantissa * 10 + (*at - '0');
            ++digits;
            if (number.mantissa != 0 && ++significant > digit_limit) return {};
            if (point && ++number.decimals > digit_limit) return {};
        } else if (*at == '.' && !point) {
            point = true;
        } else if (is_blank(*at)) {
            continue;
        } else {
            break;
        }
        end = at + 1;
    }
    if (digits == 0) return {};
    if (negative) number.mantissa = -number.mantissa;
    number.end = end;
    return number;
}

/// A number without exponent. Blanks may stand inside it (NISTIR 6556, 3.3.2.1). x3::double_ would
/// read X1E2 as 100 and take nan and inf.
inline Number read_number(const char* const first, const char* const last) {
    const char* at = first;
    const bool negative = *at == '-';
    if (negative || *at == '+') ++at;
    std::uint64_t mantissa =
        0;  // may overflow where there are too many digits: then it is not used
    const char* const whole = at;
    for (; at != last && is_digit(*at); ++at)
        mantissa = mantissa * 10 + static_cast<std::uint64_t>(*at - '0');
    std::ptrdiff_t digits = at - whole, decimals = 0;
    if (at != last && *at == '.') {
        const char* const rest = ++at;
        for (; at != last && is_digit(*at); ++at)
            mantissa = mantissa * 10 + static_cast<std::uint64_t>(*at - '0');
        decimals = at - rest;
        digits += decimals;
    }
    const char* next = at;
    while (next != last && is_blank(*next)) ++next;
    const bool goes_on = next != at && next != last && (is_digit(*next) || *next == '.');
    if (goes_on || digits > static_cast<std::ptrdiff_t>(digit_limit)) {
        return read_number_slowly(first, last);
    }
    if (digits == 0) return {};
    const auto value = static_cast<std::int64_t>(mantissa);
    return {negative ? -value : value, at, static_cast<std::uint8_t>(decimals)};
}

/// One word: a letter of either case, and a number or a quoted text where one follows. One
/// primitive of its own, for it is what most of every line is made of.
struct any_word : x3::parser<any_word> {
    using attribute_type = x3::unused_type;
    [[maybe_unused]] static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        if (first == last) return false;
        const char letter = static_cast<char>(*first & ~0x20);
        Target& target = target_of(context);
        Line& line = target.line;
        if (letter < 'A' || letter > 'Z' || line.word_count == word_limit) return false;
        Word& word = line.words[line.word_count++];
        const std::uint32_t bit = 1U << (letter - 'A');
        line.repeated |= line.letters & bit;
        line.letters |= bit;
        word.letter = letter;
        word.value = Value::none;
        word.letter_at = static_cast<std::uint32_t>(first - target.begin);
        ++first;
        parse_value(first, last, target.begin, word);
        line.body_end = static_cast<std::uint32_t>(first - target.begin);
        return true;
    }

  private:
    static void parse_value(const char*& first, const char* const last, const char* const begin,
                            Word& word) {
        const char* at = first;
        while (at != last && is_blank(*at)) ++at;
        if (at == last) return;
        const char* end = nullptr;
        if (*at == '"') {
            end = at + 1;
            while (end != last && *end != '"') ++end;
            if (end == last) return;
            ++end;
            word.value = Value::text;
        } else {
            const Number number = read_number(at, last);
            if (number.end == nullptr) return;
            end = number.end;
            word.value = Value::number;
            word.mantissa = number.mantissa;
            word.decimals = number.decimals;
        }
        word.begin = static_cast<std::uint32_t>(at - begin);
        word.end = static_cast<std::uint32_t>(end - begin);
        first = end;
    }
};

/// Any blanks, or none.
struct any_blanks : x3::parser<any_blanks> {
    using attribute_type = x3::unused_type;
    [[maybe_unused]] static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context&, Rule&,
               Attribute&) const {
        while (first != last && is_blank(*first)) ++first;
        return true;
    }
};

/// ';' and all that follows, whatever the bytes.
struct rest_comment : x3::parser<rest_comment> {
    using attribute_type = x3::unused_type;
    [[maybe_unused]] static constexpr bool has_attribute = false;

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
    [[maybe_unused]] static constexpr bool has_attribute = false;

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
const auto word = any_word{};
const auto inline_comment =
    (x3::lit('(') >> x3::omit[*(x3::char_ - x3::char_("()"))] >> x3::lit(')'))[mark_inline_comment];
const auto checksum = checksum_star{} >> blanks >> x3::uint_[mark_checksum];
const auto line_rule = blanks >> -x3::lit('/')[mark_deleted] >> blanks >>
                       *((word | inline_comment) >> blanks) >> -(checksum >> blanks) >>
                       -rest_comment{};

/// The leading N word is no word of the command: it moves out of the list. It is a whole number
/// (NISTIR 6556, 3.3.1); a sign is let by, for N-1 before M110 (common practice, no source).
void take_line_number(Line& line) {
    if (line.word_count == 0) return;
    const Word first = line.words[0];
    line.body_begin = first.letter_at;
    if (first.letter != 'N' || first.value != Value::number) return;
    if (first.decimals != 0) {
        if (line.error_at == 0) line.error_at = first.begin + 1;
        return;
    }
    line.has_number = true;
    line.number = first.mantissa;
    for (std::uint32_t i = 1; i < line.word_count; ++i) line.words[i - 1] = line.words[i];
    --line.word_count;
    line.body_begin = line.word_count > 0 ? line.words[0].letter_at : first.end;
}

/// A letter right behind the first word's makes both the begin of a name. Kept out of the way of
/// the lines that have a number there, as nearly all do.
[[gnu::noinline]] bool begins_with_name(std::string_view text, const Line& line) {
    const std::size_t next = line.words[0].letter_at + 1;
    if (next >= text.size()) return false;
    const char letter = static_cast<char>(text[next] & ~0x20);
    return (letter >= 'A' && letter <= 'Z') || text[next] == '_';
}

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

}  // namespace

bool Word::is_whole(std::int64_t whole) const noexcept {
    if (value != Value::number) return false;
    std::int64_t scaled = whole;
    for (unsigned i = 0; i < decimals; ++i) scaled *= 10;
    return mantissa == scaled;
}

std::optional<int> Word::index() const noexcept {
    const double exact = number();
    const bool fits = value == Value::number && std::abs(exact) <= std::numeric_limits<int>::max();
    if (!fits || exact != std::trunc(exact)) return std::nullopt;
    return static_cast<int>(exact);
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
    line.extended =
        line.word_count > 0 && line.words[0].value == Value::none && begins_with_name(text, line);
}

std::uint8_t checksum_of(std::string_view bytes) noexcept {
    std::uint8_t sum = 0;
    for (const char byte : bytes)
        sum = static_cast<std::uint8_t>(sum ^ static_cast<std::uint8_t>(byte));
    return sum;
}

}  // namespace durograde::grammar
