#include "plan/keys.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <utility>

namespace durograde::plan {
namespace {

constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

std::string quoted(std::string_view word) {
    constexpr std::size_t shown_bytes = 60;
    return "`" + std::string(word.substr(0, shown_bytes)) +
           (word.size() > shown_bytes ? "..." : "") + "`";
}

std::string join(const std::vector<std::string_view>& words, std::string_view separator) {
    std::string text;
    for (const std::string_view word : words)
        text += (text.empty() ? std::string() : std::string(separator)) + std::string(word);
    return text;
}

bool is_within(double value, const Bounds& bounds) {
    return (bounds.low_is_allowed ? value >= bounds.low : value > bounds.low) &&
           value <= bounds.high;
}

std::string words_for(const Bounds& bounds) {
    return (bounds.low_is_allowed ? "at least " : "above ") + shown(bounds.low) + " and at most " +
           shown(bounds.high);
}

std::string example_list(std::size_t count) {
    std::string text = "[";
    for (std::size_t i = 0; i < count; ++i) text += i == 0 ? "0" : ", 0";
    return text + "]";
}

/// Names the key that was probably meant to be `key`, which the table lacks.
std::string misspelt(const Value& table, std::string_view key) {
    constexpr std::size_t telling = 4;  // bytes: shorter keys are all alike
    for (const Entry& entry : table.entries) {
        const bool is_near = entry.key.size() >= telling && !nearest(entry.key, {key}).empty();
        if (is_near) return "did you mean it by " + quoted(entry.key) + "? Else ";
    }
    return {};
}

const std::vector<Value> no_items;
const Value empty_table;

}  // namespace

std::string shown(double value) {
    std::array<char, 32> buffer{};
    const auto result = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value);
    return {buffer.data(), result.ptr};
}

TableReader::TableReader(const Value& table, std::string name, Findings& findings)
    : table_(table), name_(std::move(name)), findings_(findings) {}

std::string TableReader::label(std::string_view key) const {
    return quoted(key) + " in " + name_;
}

void TableReader::know(std::string_view key) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.push_back(key);
}

const Value* TableReader::find(std::string_view key) {
    know(key);
    const Entry* const entry = find_entry(table_, key);
    return entry == nullptr ? nullptr : &entry->value;
}

const Value* TableReader::need(std::string_view key, std::string_view example) {
    const Value* const value = find(key);
    if (value == nullptr)
        findings_.error("missing-key", table_.spot, name_ + " lacks " + quoted(key),
                        misspelt(table_, key) + "add " + std::string(example));
    return value;
}

void TableReader::wrong_type(const Value& value, std::string_view key, std::string_view wanted,
                             std::string_view mend) {
    findings_.error(
        "wrong-type", value.spot,
        label(key) + " is " + std::string(words_for(value.kind)) + ", not " + std::string(wanted),
        std::string(mend));
}

const Value* TableReader::typed(std::string_view key, Kind kind, std::string_view mend) {
    const Value* const value = find(key);
    if (value == nullptr || value->kind == kind) return value;
    wrong_type(*value, key, words_for(kind), mend);
    return nullptr;
}

std::optional<double> TableReader::to_number(const Value& value, std::string_view key,
                                             const Bounds& bounds) {
    if (value.kind != Kind::whole && value.kind != Kind::number) {
        wrong_type(value, key, "a number", "write a plain number without quotes");
        return std::nullopt;
    }
    if (is_within(value.number, bounds)) return value.number;
    findings_.error("out-of-range", value.spot, label(key) + " is " + shown(value.number),
                    "write a number " + words_for(bounds));
    return std::nullopt;
}

double TableReader::number(std::string_view key, double fallback, const Bounds& bounds) {
    return optional_number(key, bounds).value_or(fallback);
}

std::optional<double> TableReader::optional_number(std::string_view key, const Bounds& bounds) {
    const Value* const value = find(key);
    return value == nullptr ? std::nullopt : to_number(*value, key, bounds);
}

double TableReader::needed_number(std::string_view key, const Bounds& bounds,
                                  std::string_view example) {
    const Value* const value = need(key, example);
    return value == nullptr ? no_number : to_number(*value, key, bounds).value_or(no_number);
}

int TableReader::whole(std::string_view key, int fallback, const Bounds& bounds) {
    const double value = number(key, fallback, bounds);
    if (value == std::floor(value)) return static_cast<int>(value);
    findings_.error("wrong-type", find(key)->spot, label(key) + " is no whole number",
                    "write it without a point");
    return fallback;
}

bool TableReader::truth(std::string_view key, bool fallback) {
    const Value* const value = typed(key, Kind::truth, "write true or false, without quotes");
    return value == nullptr ? fallback : value->truth;
}

std::string TableReader::text(std::string_view key, std::string_view fallback) {
    const Value* const value = typed(key, Kind::text, "write it in double quotes");
    return value == nullptr ? std::string(fallback) : value->text;
}

std::size_t TableReader::choice(std::string_view key, const std::vector<std::string_view>& words) {
    const std::string all = "write one of: \"" + join(words, "\", \"") + "\"";
    const Value* const value = typed(key, Kind::text, all);
    if (value == nullptr) return 0;
    const auto found = std::find(words.begin(), words.end(), value->text);
    if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
    const std::string_view guess = nearest(value->text, words);
    const std::string meant =
        guess.empty() ? std::string() : "did you mean \"" + std::string(guess) + "\"? ";
    findings_.error("unknown-word", value->spot, label(key) + " is " + quoted(value->text),
                    meant + all);
    return 0;
}

std::vector<double> TableReader::to_numbers(const Value& value, std::string_view key,
                                            std::size_t count, const Bounds& bounds) {
    const std::string mend = "write it as a list of " + std::to_string(count) +
                             " numbers: " + std::string(key) + " = " + example_list(count);
    if (value.kind != Kind::list) {
        wrong_type(value, key, "a list", mend);
        return {};
    }
    if (value.items.size() != count) {
        findings_.error("wrong-count", value.spot,
                        label(key) + " has " + std::to_string(value.items.size()) + " entries",
                        mend);
        return {};
    }
    std::vector<double> numbers;
    for (const Value& item : value.items)
        if (const auto number = to_number(item, key, bounds)) numbers.push_back(*number);
    return numbers.size() == count ? numbers : std::vector<double>{};
}

std::vector<double> TableReader::numbers(std::string_view key, std::size_t count,
                                         const Bounds& bounds) {
    const Value* const value = find(key);
    return value == nullptr ? std::vector<double>{} : to_numbers(*value, key, count, bounds);
}

std::vector<double> TableReader::needed_numbers(std::string_view key, std::size_t count,
                                                const Bounds& bounds, std::string_view example) {
    const Value* const value = need(key, example);
    return value == nullptr ? std::vector<double>{} : to_numbers(*value, key, count, bounds);
}

std::optional<TableReader> TableReader::inner(std::string_view key, const std::string& name) {
    const Value* const value =
        typed(key, Kind::table, "write it as a table: " + std::string(key) + " = { ... }");
    if (value == nullptr) return std::nullopt;
    return TableReader(*value, name, findings_);
}

TableReader TableReader::inner_or_empty(std::string_view key, const std::string& name) {
    const auto present = inner(key, name);
    return present ? *present : TableReader(empty_table, name, findings_);
}

std::optional<TableReader> TableReader::needed_inner(std::string_view key, const std::string& name,
                                                     std::string_view example) {
    if (need(key, example) == nullptr) return std::nullopt;
    return inner(key, name);
}

const std::vector<Value>& TableReader::items_of(const Value& list, std::string_view key,
                                                std::size_t limit) {
    if (list.items.size() <= limit) return list.items;
    findings_.error("too-many", list.items[limit].spot,
                    label(key) + " has " + std::to_string(list.items.size()) + " entries",
                    "use at most " + std::to_string(limit));
    return no_items;
}

std::vector<TableReader> TableReader::list(std::string_view key, const std::string& name,
                                           std::size_t limit) {
    const std::string mend = "write each entry as a table: " + name + ", or { ... } in a list";
    const Value* const value = typed(key, Kind::list, mend);
    if (value == nullptr) return {};
    std::vector<TableReader> tables;
    for (const Value& item : items_of(*value, key, limit)) {
        if (item.kind == Kind::table)
            tables.emplace_back(item, name, findings_);
        else
            wrong_type(item, key, words_for(Kind::table), mend);
    }
    return tables;
}

std::vector<const Value*> TableReader::texts(std::string_view key, std::size_t limit) {
    const std::string mend = "write a list of texts: " + std::string(key) + " = [\"...\", \"...\"]";
    const Value* const value = typed(key, Kind::list, mend);
    if (value == nullptr) return {};
    std::vector<const Value*> texts;
    for (const Value& item : items_of(*value, key, limit)) {
        if (item.kind == Kind::text)
            texts.push_back(&item);
        else
            wrong_type(item, key, words_for(Kind::text), mend);
    }
    return texts;
}

void TableReader::refuse(const Spot& spot, const std::string& what, const std::string& mend) {
    findings_.error("not-yet", spot, what + " is not available in this version", mend);
}

std::string TableReader::unknown_key_mend(std::string_view key) const {
    // A key that is there already was hardly meant twice, so the ones that are not come first.
    std::vector<std::string_view> absent;
    for (const std::string_view known : known_)
        if (find_entry(table_, known) == nullptr) absent.push_back(known);
    std::string_view guess = nearest(key, absent);
    if (guess.empty()) guess = nearest(key, known_);
    const std::string meant =
        guess.empty() ? std::string() : "did you mean `" + std::string(guess) + "`? ";
    return meant + "Known here: " + join(known_, ", ");
}

void TableReader::finish() {
    for (const Entry& entry : table_.entries) {
        if (std::find(known_.begin(), known_.end(), entry.key) != known_.end()) continue;
        // What is only counted needs no advice: it takes longer than all the rest.
        findings_.error("unknown-key", entry.spot, name_ + " has no key " + quoted(entry.key),
                        findings_.lists_errors() ? unknown_key_mend(entry.key) : std::string());
    }
}

}  // namespace durograde::plan
