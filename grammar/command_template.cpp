#include "command_template.hpp"

#include <array>
#include <boost/spirit/home/x3.hpp>
#include <optional>
#include <utility>

#include "text/diagnostic.hpp"
#include "text/number.hpp"

// template = { "{{" | "}}" | "{" slot-name "}" | any other printable byte }

namespace durograde::grammar {
namespace {

namespace x3 = boost::spirit::x3;

struct NamedSlot {
    std::string_view name;
    Slot slot;
};

constexpr std::array<NamedSlot, 9> slots = {{{"tool", Slot::tool},
                                             {"temperature", Slot::temperature},
                                             {"from", Slot::from},
                                             {"to", Slot::to},
                                             {"x", Slot::x},
                                             {"y", Slot::y},
                                             {"z", Slot::z},
                                             {"seconds", Slot::seconds},
                                             {"layer", Slot::layer}}};

/// What the parsers below write to, reached through the parse context.
struct Target {
    CommandTemplate& command;
    const char* begin;
    std::optional<TemplateError> error;

    bool fail(const char* at, std::string text, std::string mend) {
        const auto column = static_cast<std::uint32_t>(at - begin + 1);
        if (!error) error = TemplateError{column, std::move(text), std::move(mend)};
        return false;
    }
    void append(char byte) {
        std::vector<TemplatePart>& parts = command.parts;
        if (parts.empty() || parts.back().slot != Slot::text) parts.push_back({Slot::text, {}});
        parts.back().text += byte;
    }
};
struct target_tag;

template <typename Context>
Target& target_of(const Context& context) {
    return x3::get<target_tag>(context).get();
}

std::string unknown_slot_mend(std::string_view name) {
    std::vector<std::string_view> known;
    std::string all;
    for (const NamedSlot& slot : slots) {
        known.push_back(slot.name);
        all += (all.empty() ? "{" : " {") + std::string(slot.name) + "}";
    }
    const std::string_view guess = name.size() < 2 ? std::string_view{} : nearest(name, known);
    const std::string meant =
        guess.empty() ? std::string() : "did you mean {" + std::string(guess) + "}? ";
    return meant + "Known here: " + all + "; {{ stands for a brace of the command's own";
}

/// The name between braces, looked up whole, so that {tools} is not read as {tool}.
struct slot_name : x3::parser<slot_name> {
    using attribute_type = x3::unused_type;
    [[maybe_unused]] static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        const char* end = first;
        while (end != last && *end != '}' && *end != '{') ++end;
        Target& target = target_of(context);
        if (end == last || *end == '{')
            return target.fail(first - 1, "this brace is not closed",
                               "close the slot, such as {tool}; {{ stands for a single brace");
        const std::string_view name(first, static_cast<std::size_t>(end - first));
        for (const NamedSlot& slot : slots) {
            if (slot.name != name) continue;
            target.command.parts.push_back({slot.slot, {}});
            first = end;
            return true;
        }
        return target.fail(first, "there is no slot {" + std::string(name.substr(0, 40)) + "}",
                           unknown_slot_mend(name));
    }
};

/// Any other byte. One line stays one line: no control byte passes, tabs aside.
struct plain_byte : x3::parser<plain_byte> {
    using attribute_type = x3::unused_type;
    [[maybe_unused]] static constexpr bool has_attribute = false;

    template <typename Context, typename Rule, typename Attribute>
    bool parse(const char*& first, const char* const& last, const Context& context, Rule&,
               Attribute&) const {
        if (first == last) return false;
        Target& target = target_of(context);
        const auto value = static_cast<unsigned char>(*first);
        if (*first == '}')
            return target.fail(first, "this brace closes nothing",
                               "take it out, or write }} for a single brace");
        if (*first == '\n' || *first == '\r')
            return target.fail(first, "a command ends at its line's end",
                               "give each line a string of its own where a list is taken");
        if ((value < 0x20 && value != '\t') || value == 0x7f)
            return target.fail(first, "a command holds no control characters", "take it out");
        target.append(*first++);
        return true;
    }
};

const auto append_open = [](auto& context) { target_of(context).append('{'); };
const auto append_close = [](auto& context) { target_of(context).append('}'); };

const auto whole = *(x3::lit("{{")[append_open] | x3::lit("}}")[append_close] |
                     ('{' >> slot_name{} >> '}') | plain_byte{});

double value_of(Slot slot, const SlotValues& values) {
    switch (slot) {
        case Slot::text:
            return 0.0;
        case Slot::tool:
            return values.tool;
        case Slot::temperature:
            return values.temperature_c;
        case Slot::from:
            return values.from;
        case Slot::to:
            return values.to;
        case Slot::x:
            return values.x_mm;
        case Slot::y:
            return values.y_mm;
        case Slot::z:
            return values.z_mm;
        case Slot::seconds:
            return values.seconds;
        case Slot::layer:
            return static_cast<double>(values.layer);
    }
    return 0.0;
}

}  // namespace

std::variant<CommandTemplate, TemplateError> parse_command_template(std::string_view text) {
    if (text.size() > template_length_limit) {
        return TemplateError{
            static_cast<std::uint32_t>(template_length_limit + 1),
            "the command is longer than " + std::to_string(template_length_limit) + " bytes",
            "controllers read no line as long: write it as several commands"};
    }
    CommandTemplate command;
    Target target{command, text.data(), {}};
    const char* first = text.data();
    x3::parse(first, first + text.size(), x3::with<target_tag>(std::ref(target))[whole]);
    if (target.error) return *std::move(target.error);
    return command;
}

void expand(const CommandTemplate& command, const SlotValues& values, std::string& out) {
    for (const TemplatePart& part : command.parts) {
        if (part.slot == Slot::text)
            out += part.text;
        else
            append_trimmed(out, value_of(part.slot, values));
    }
}

}  // namespace durograde::grammar
