#include "condition.hpp"

#include <array>
#include <boost/spirit/home/x3.hpp>
#include <charconv>
#include <utility>

#include "condition_faults.hpp"
#include "condition_limits.hpp"
#include "condition_steps.hpp"

// The grammar is LL(1): each alternative is chosen by its first word or sign, and once chosen there
// is no way back. So the primitives may write to the builder at once, and whatever fails after its
// first word says why, to the builder, which keeps the first thing said. No exception is needed.
//
//     either     = both { "or" both }
//     both       = inversion { "and" inversion }
//     inversion  = "not" inversion | comparison
//     comparison = sum [ ( "<=" | "<" | ">=" | ">" ) sum ]
//     sum        = product { ( "+" | "-" ) product }
//     product    = signed { ( "*" | "/" ) signed }
//     signed     = "-" signed | operand
//     operand    = number | field | "true" | "false" | call | distance | "(" either ")"
//     call       = function "(" either { "," either } ")"
//     distance   = "distance" "(" shape ")"
//
// Truth values and numbers share one grammar, so that brackets may hold either; the builder tells
// them apart.

namespace durograde::grammar {
namespace {

namespace x3 = boost::spirit::x3;

struct Target {
    StepBuilder& steps;
    std::string_view text;

    [[nodiscard]] std::size_t offset(const char* at) const {
        return static_cast<std::size_t>(at - text.data());
    }
    [[nodiscard]] std::uint32_t column(const char* at) const {
        return static_cast<std::uint32_t>(offset(at) + 1);
    }
    [[nodiscard]] std::string_view word(const char* at) const { return word_at(text, offset(at)); }
};
struct target_tag;

void skip_blanks(const char*& first, const char* last) {
    while (first != last && is_blank(*first)) ++first;
}

/// A primitive: skips blanks, then does Self::read(first, last, target).
template <typename Self>
struct primitive : x3::parser<Self> {
    using attribute_type = x3::unused_type;
    static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        const char* at = first;
        skip_blanks(at, last);
        if (!this->derived().read(at, last, x3::get<target_tag>(context).get())) return false;
        first = at;
        return true;
    }
};

bool read_spelling(const char*& at, const char* last, std::string_view spelling,
                   const Target& target) {
    const std::string_view rest(at, static_cast<std::size_t>(last - at));
    const bool is_word = !word_at(spelling, 0).empty();
    if (is_word ? target.word(at) != spelling : !rest.starts_with(spelling)) return false;
    at += spelling.size();
    return true;
}

/// One of several operators: opened in the builder.
template <std::size_t Count>
struct operation : primitive<operation<Count>> {
    std::array<NamedOp, Count> choices;
    constexpr explicit operation(const std::array<NamedOp, Count>& from) : choices(from) {}

    bool read(const char*& at, const char* last, const Target& target) const {
        const std::uint32_t column = target.column(at);
        for (const NamedOp& choice : choices) {
            if (!read_spelling(at, last, choice.text, target)) continue;
            target.steps.open(choice.op, choice.text, column);
            return true;
        }
        return false;
    }
};

struct sign : primitive<sign> {
    char value;
    constexpr explicit sign(char which) : value(which) {}

    bool read(const char*& at, const char* last, const Target&) const {
        return at != last && *at++ == value;
    }
};

struct number_literal : primitive<number_literal> {
    bool read(const char*& at, const char* last, const Target& target) const {
        const char* end = at;
        std::size_t digits = 0, points = 0;
        for (; end != last && (is_digit(*end) || *end == '.'); ++end)
            ++(*end == '.' ? points : digits);
        if (end == at) return false;
        const bool ends_with_point = end[-1] == '.';
        if (digits == 0 || points > 1 || ends_with_point || !target.word(end).empty())
            return target.steps.fail(number_malformed(target.offset(at)));
        // No sign and no letter can stand here, so neither exponent nor nan is ever read.
        double value = 0.0;
        const auto result = std::from_chars(at, end, value, std::chars_format::fixed);
        if (result.ec != std::errc{} || value > largest)
            return target.steps.fail(number_too_large(target.offset(at)));
        const std::uint32_t column = target.column(at);
        at = end;
        return target.steps.number(value, column);
    }

  private:
    static constexpr double largest = 1e9;  // a thousand kilometres in mm: far beyond any machine
};

struct field_or_truth : primitive<field_or_truth> {
    bool read(const char*& at, const char*, const Target& target) const {
        const std::string_view word = target.word(at);
        const std::uint32_t column = target.column(at);
        for (const NamedOp& field : field_words()) {
            if (word != field.text) continue;
            at += word.size();
            return target.steps.field(field.op, column);
        }
        if (word != "true" && word != "false") return false;
        at += word.size();
        return target.steps.truth(word == "true", column);
    }
};

struct function_name : primitive<function_name> {
    bool read(const char*& at, const char*, const Target& target) const {
        const std::string_view word = target.word(at);
        for (const NamedOp& function : function_words()) {
            if (word != function.text) continue;
            target.steps.open(function.op, word, target.column(at));
            at += word.size();
            return true;
        }
        return false;
    }
};

struct distance_word : primitive<distance_word> {
    bool read(const char*& at, const char* last, const Target& target) const {
        return read_spelling(at, last, "distance", target);
    }
};

struct shape_name : primitive<shape_name> {
    bool read(const char*& at, const char*, const Target& target) const {
        const std::string_view name = target.word(at);
        if (name.empty()) return target.steps.fail(shape_missing(target.text, target.offset(at)));
        const std::uint32_t column = target.column(at);
        at += name.size();
        return target.steps.distance(name, column);
    }
};

struct end_of_text : primitive<end_of_text> {
    bool read(const char*& at, const char* last, const Target&) const { return at == last; }
};

/// Behind a comparison: `x = 1` and `0 < x < 4` are named for what they are before the half that
/// did parse is judged.
struct no_second_relation : primitive<no_second_relation> {
    bool read(const char*& at, const char* last, const Target& target) const {
        constexpr std::string_view relations = "<>=!&|";
        if (at == last || relations.find(*at) == std::string_view::npos) return true;
        return target.steps.fail(left_over(target.text, target.offset(at)));
    }
};

/// The last alternative where something must stand: says what is missing, and fails.
struct fault : primitive<fault> {
    ConditionError (*says)(std::string_view, std::size_t);
    constexpr explicit fault(ConditionError (*what)(std::string_view, std::size_t)) : says(what) {}

    bool read(const char*& at, const char*, const Target& target) const {
        return target.steps.fail(says(target.text, target.offset(at)));
    }
};

constexpr operation<1> or_word{{{{"or", Op::logical_or}}}};
constexpr operation<1> and_word{{{{"and", Op::logical_and}}}};
constexpr operation<1> not_word{{{{"not", Op::logical_not}}}};
constexpr operation<4> relation{
    {{{"<=", Op::less_equal}, {"<", Op::less}, {">=", Op::greater_equal}, {">", Op::greater}}}};
constexpr operation<2> plus_or_minus{{{{"+", Op::add}, {"-", Op::subtract}}}};
constexpr operation<2> times_or_over{{{{"*", Op::multiply}, {"/", Op::divide}}}};
constexpr operation<1> minus_sign{{{{"-", Op::negate}}}};

const auto apply = [](auto& context) {
    x3::_pass(context) = x3::get<target_tag>(context).get().steps.apply();
};
const auto count_operand = [](auto& context) {
    x3::_pass(context) = x3::get<target_tag>(context).get().steps.count_operand();
};

const x3::rule<struct either_rule> either = "condition";
const x3::rule<struct both_rule> both = "both";
const x3::rule<struct inversion_rule> inversion = "inversion";
const x3::rule<struct comparison_rule> comparison = "comparison";
const x3::rule<struct sum_rule> sum = "sum";
const x3::rule<struct product_rule> product = "product";
const x3::rule<struct signed_rule> signed_operand = "signed operand";
const x3::rule<struct operand_rule> operand = "operand";

const auto open_bracket = sign{'('} | fault{bracket_not_opened};
const auto close_bracket = sign{')'} | fault{bracket_not_closed};
const auto close_shape = sign{')'} | fault{shape_not_closed};

const auto either_def = both >> *(or_word >> both)[apply];
const auto both_def = inversion >> *(and_word >> inversion)[apply];
const auto inversion_def = (not_word >> inversion)[apply] | comparison;
const auto comparison_def = sum >> -(relation >> sum)[apply] >> no_second_relation{};
const auto sum_def = product >> *(plus_or_minus >> product)[apply];
const auto product_def = signed_operand >> *(times_or_over >> signed_operand)[apply];
const auto signed_operand_def = (minus_sign >> signed_operand)[apply] | operand;
const auto call = (function_name{} >> open_bracket >> either[count_operand] >>
                   *(sign{','} >> either[count_operand]) >> close_bracket)[apply];
const auto distance = distance_word{} >> open_bracket >> shape_name{} >> close_shape;
const auto operand_def = number_literal{} | field_or_truth{} | call | distance |
                         (sign{'('} >> either >> close_bracket) | fault{operand_missing};

BOOST_SPIRIT_DEFINE(either, both, inversion, comparison, sum, product, signed_operand, operand)

const auto whole = either >> (end_of_text{} | fault{left_over});

}  // namespace

std::variant<Condition, ConditionError> parse_condition(std::string_view text) {
    if (auto error = beyond_limits(text)) return *std::move(error);
    StepBuilder steps;
    Target target{steps, text};
    const char* first = text.data();
    const char* const last = first + text.size();
    const bool read = x3::parse(first, last, x3::with<target_tag>(std::ref(target))[whole]);
    if (read && steps.finish()) return steps.take();
    return steps.error().value_or(left_over(text, text.size()));
}

}  // namespace durograde::grammar
