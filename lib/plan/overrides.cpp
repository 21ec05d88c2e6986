#include "plan/overrides.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "plan/merge.hpp"
#include "plan/parse_toml.hpp"
#include "plan/read_file.hpp"

namespace durograde::plan {
namespace {

bool is_key_byte(char byte) {
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
           (byte >= '0' && byte <= '9') || byte == '_' || byte == '-';
}

/// Letters, digits, dashes and underscores, in parts joined by single dots.
bool is_dotted_key(std::string_view key) {
    bool part_open = false;
    for (const char byte : key) {
        if (byte == '.' ? !part_open : !is_key_byte(byte)) return false;
        part_open = byte != '.';
    }
    return part_open;
}

/// Whether `root` holds one value at `key` and nothing else: a value may not smuggle in further
/// keys.
bool holds_only(const Value& root, std::string_view key) {
    const Value* value = &root;
    while (!key.empty()) {
        if (value->kind != Kind::table || value->entries.size() != 1) return false;
        value = &value->entries.front().value;
        const std::size_t dot = key.find('.');
        key = dot == std::string_view::npos ? std::string_view{} : key.substr(dot + 1);
    }
    return true;
}

std::optional<Value> parse(const Override& set, Sources& sources, Findings& findings) {
    const bool fits = set.key.size() + set.value.size() < plan_size_limit;
    const std::string text = fits ? set.key + "=" + set.value : std::string();
    const std::uint32_t source = sources.add_override(set.key.substr(0, 200), text);
    const Spot spot{source, 1, 1};
    if (!fits || !is_dotted_key(set.key)) {
        findings.error("bad-override", spot,
                       fits ? "the key is no dotted path" : "this is too long",
                       "write --set KEY=VALUE, such as --set tool.0.temperature=195");
        return std::nullopt;
    }
    std::optional<Value> root = parse_toml(sources, source, findings);
    if (!root) return std::nullopt;
    const bool is_include = set.key == "include" || set.key.starts_with("include.");
    if (holds_only(*root, set.key) && !is_include) return root;
    findings.error("bad-override", spot,
                   is_include ? "`include` cannot be set here, only in a file"
                              : "this holds more than one value",
                   "write --set KEY=VALUE, such as --set tool.0.temperature=195");
    return std::nullopt;
}

}  // namespace

void apply_overrides(Value& root, const std::vector<Override>& overrides, Sources& sources,
                     Findings& findings) {
    for (const Override& set : overrides)
        if (std::optional<Value> value = parse(set, sources, findings))
            merge_by_index(root, *std::move(value), findings);
}

}  // namespace durograde::plan
