#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "plan/around_swap.hpp"
#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

using grammar::CommandTemplate;
using grammar::Slot;

CommandTemplate known_template(std::string_view text) {
    return std::get<CommandTemplate>(grammar::parse_command_template(text));
}

bool holds(const CommandTemplate& command, Slot slot) {
    return std::any_of(command.parts.begin(), command.parts.end(),
                       [slot](const grammar::TemplatePart& part) { return part.slot == slot; });
}

/// M109 sets what it waits for.
bool sets(const CommandTemplate& command) {
    return !command.parts.empty() && command.parts.front().text.starts_with("M109");
}

/// M109 waits for a tool to cool with R alone, M116 always (common practice, no source).
bool waits_for_cooling(const CommandTemplate& command) {
    if (command.parts.empty()) return false;
    const std::string_view first = command.parts.front().text;
    if (first.starts_with("M116")) return true;
    if (!first.starts_with("M109")) return false;
    for (std::size_t i = 0; i + 1 < command.parts.size(); ++i) {
        if (command.parts[i].text.ends_with('R') && command.parts[i + 1].slot == Slot::temperature)
            return true;
    }
    return false;
}

struct NamedSlot {
    Slot slot;
    std::string_view name;
};

class TemplateReader {
  public:
    explicit TemplateReader(TableReader& table) : table_(table), findings_(table.findings()) {}

    /// The template of `key`; it must hold one slot, if one is named, and may not hold some others.
    CommandTemplate single(std::string_view key, std::string_view fallback,
                           std::optional<NamedSlot> needed,
                           const std::vector<NamedSlot>& strangers) {
        const std::string text = table_.text(key, fallback);
        const Value* const value = table_.find(key);
        if (value == nullptr || value->kind != Kind::text) return known_template(fallback);
        CommandTemplate command = parse(*value);
        if (text.empty() && !needed) refuse_empty(*value, key);
        if (needed && (!command.parts.empty() || text.empty()))
            require(*value, key, command, *needed);
        for (const NamedSlot& stranger : strangers) refuse(*value, key, command, stranger);
        return command;
    }

    std::vector<SwapLine> several(std::string_view key, AroundSwap& around,
                                  std::vector<const Value*>& values) {
        std::vector<SwapLine> lines;
        for (const Value* value : table_.texts(key, 64)) {
            values.push_back(value);
            Value plain = *value;
            plain.text = plain_swap_line(value->text);
            lines.push_back({parse(plain), findings_.place(value->spot)});
            refuse(*value, key, lines.back().command, {Slot::tool, "tool"});
            if (const auto why = around.add(value->text)) unfit(*value, key, *why);
        }
        return lines;
    }

    void unfit(const Value& value, std::string_view key, const Unfit& why) {
        findings_.error("unfit-line", value.spot,
                        table_.label(key) + " cannot hold `" + value.text + "`: " + why.text,
                        why.mend);
    }

    void require(const Value& value, std::string_view key, const CommandTemplate& command,
                 NamedSlot needed) {
        if (holds(command, needed.slot)) return;
        findings_.error("missing-slot", value.spot,
                        table_.label(key) + " lacks {" + std::string(needed.name) + "}",
                        "write the slot where the command takes it, as in \"M104 T{tool} "
                        "S{temperature}\" or \"T{to}\"");
    }

  private:
    void refuse_empty(const Value& value, std::string_view key) {
        findings_.error("missing-command", value.spot, table_.label(key) + " is empty",
                        "write the command that waits until a tool has the temperature it is set "
                        "to, such as \"M116 P{tool}\"");
    }

    CommandTemplate parse(const Value& value) {
        auto parsed = grammar::parse_command_template(value.text);
        if (auto* command = std::get_if<CommandTemplate>(&parsed)) return std::move(*command);
        const auto& error = std::get<grammar::TemplateError>(parsed);
        findings_.error_inside("bad-template", value.spot, value.text, error.column - 1, error.text,
                               error.mend);
        return {};
    }

    void refuse(const Value& value, std::string_view key, const CommandTemplate& command,
                NamedSlot stranger) {
        if (!holds(command, stranger.slot)) return;
        const bool about_swap = stranger.slot == Slot::tool;
        findings_.error("strange-slot", value.spot,
                        table_.label(key) + " cannot hold {" + std::string(stranger.name) + "}",
                        about_swap ? "at a swap write {from} or {to} for the tool"
                                   : "write {tool}: no swap takes place here");
    }

    TableReader& table_;
    Findings& findings_;
};

void read_swap_lines(TemplateReader& templates, const Machine& limits, Writes& writes) {
    AroundSwap around(limits);
    std::vector<const Value*> values;
    writes.before_swap = templates.several("before_swap", around, values);
    writes.before_says_numbers = around.says_numbers();
    around.select();
    writes.after_swap = templates.several("after_swap", around, values);
    writes.after_says_numbers = around.says_numbers();
    writes.swap_says_units = around.says_units();
    const auto left = around.leftover();
    if (!left) return;
    const bool is_before = left->line < writes.before_swap.size();
    templates.unfit(*values[left->line], is_before ? "before_swap" : "after_swap", left->why);
}

}  // namespace

Writes read_writes(TableReader& machine, const Machine& limits, bool several_tools) {
    TableReader table = machine.inner_or_empty("write", "[machine.write]");
    TemplateReader templates(table);
    const std::vector<NamedSlot> of_swaps = {{Slot::from, "from"}, {Slot::to, "to"}};
    const NamedSlot temperature{Slot::temperature, "temperature"}, tool{Slot::tool, "tool"};

    Writes writes;
    writes.set = templates.single("set", "M104 T{tool} S{temperature}", temperature, of_swaps);
    writes.wait = templates.single("wait", "M109 T{tool} S{temperature}", std::nullopt, of_swaps);
    const Value* const wait = table.find("wait");
    if (wait != nullptr && sets(writes.wait))
        templates.require(*wait, "wait", writes.wait, temperature);
    writes.wait_cools = waits_for_cooling(writes.wait);
    if (table.find("wait_cool") != nullptr)
        writes.wait_cool =
            templates.single("wait_cool", "M109 T{tool} R{temperature}", std::nullopt, of_swaps);
    writes.select = templates.single("select", "T{to}", NamedSlot{Slot::to, "to"}, {tool});
    read_swap_lines(templates, limits, writes);
    // A tool is heated while another one prints: without its number the wrong one would be.
    const Value* const set = table.find("set");
    if (several_tools && set != nullptr && holds(writes.set, Slot::temperature))
        templates.require(*set, "set", writes.set, tool);
    table.finish();
    return writes;
}

}  // namespace durograde::plan
