#include "plan/parse_toml.hpp"

#include <algorithm>
#include <string>
#include <string_view>

// The one source that pays for the parser's header, and sees its types. Compiled in here whatever
// the build says, because its assertions must not stand: "[=" is an error in a plan like any other,
// yet version 3.3 asserts that a key follows the bracket before it looks. That aborts in a debug
// build, and where NDEBUG turns assertions into assumptions it is undefined.
#undef NDEBUG
#undef TOML_SHARED_LIB
#undef TOML_HEADER_ONLY
#define TOML_HEADER_ONLY 1
#define TOML_ENABLE_FORMATTERS 0
#define TOML_ASSERT(condition) static_cast<void>(0)
#include <toml++/toml.h>

#include "plan/guard.hpp"

namespace durograde::plan {
namespace {

class Converter {
  public:
    explicit Converter(std::uint32_t source) : source_(source) {}

    [[nodiscard]] Spot spot(const toml::source_region& region) const {
        return {source_, region.begin.line, region.begin.column};
    }

    // Recursion ends at the guard's limits: 17 levels of brackets of 16 parts of a key each.
    [[nodiscard]] Value convert(const toml::node& node) const {
        Value value;
        value.spot = spot(node.source());
        if (const toml::table* table = node.as_table()) {
            value.kind = Kind::table;
            for (const auto& [key, child] : *table)
                value.entries.push_back(
                    {std::string(key.str()), spot(key.source()), convert(child)});
        } else if (const toml::array* list = node.as_array()) {
            value.kind = Kind::list;
            for (const toml::node& child : *list) value.items.push_back(convert(child));
        } else {
            scalar(node, value);
        }
        return value;
    }

  private:
    static void scalar(const toml::node& node, Value& value) {
        if (const auto* text = node.as_string()) {
            value.kind = Kind::text;
            value.text = text->get();
        } else if (const auto* whole = node.as_integer()) {
            value.kind = Kind::whole;
            value.number = static_cast<double>(whole->get());
        } else if (const auto* number = node.as_floating_point()) {
            value.kind = Kind::number;
            value.number = number->get();
        } else if (const auto* truth = node.as_boolean()) {
            value.kind = Kind::truth;
            value.truth = truth->get();
        } else {
            value.kind = Kind::date;
        }
    }

    std::uint32_t source_;
};

/// Line and character of a byte offset, as the parser counts them.
Spot spot_at(std::string_view text, std::size_t offset, std::uint32_t source) {
    const std::string_view before = text.substr(0, offset);
    const std::size_t start = before.rfind('\n') + 1;  // npos + 1 is 0: the first line
    const auto is_character = [](char byte) {
        return (static_cast<unsigned char>(byte) & 0xC0) != 0x80;
    };
    const auto line = std::count(before.begin(), before.end(), '\n') + 1;
    const auto column = std::count_if(before.begin() + static_cast<std::ptrdiff_t>(start),
                                      before.end(), is_character) +
                        1;
    return {source, static_cast<std::uint32_t>(line), static_cast<std::uint32_t>(column)};
}

}  // namespace

std::optional<Value> parse_toml(const Sources& sources, std::uint32_t source, Findings& findings) {
    const std::string_view text = sources.text(source);
    if (const auto guarded = guard(text)) {
        findings.error(guarded->code, spot_at(text, guarded->offset, source), guarded->text,
                       guarded->mend);
        return std::nullopt;
    }
    const Converter converter(source);
    try {
        const toml::table table = toml::parse(text);
        Value root = converter.convert(table);
        root.spot = {source, 0, 0};
        return root;
    } catch (const toml::parse_error& error) {
        findings.error("syntax", converter.spot(error.source()), std::string(error.description()),
                       "write TOML 1.0: key = value, text in double quotes, a digit on both sides "
                       "of a decimal point, each key once");
        return std::nullopt;
    }
}

}  // namespace durograde::plan
