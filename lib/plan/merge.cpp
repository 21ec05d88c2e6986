#include "plan/merge.hpp"

#include <algorithm>
#include <charconv>
#include <optional>
#include <string>
#include <utility>

#include "plan/keys.hpp"

namespace durograde::plan {
namespace {

bool is_choice(std::string_view key) {
    return key == "cornering";
}

/// The number that an entry of a list says that it has, as a tool does; nothing where it has none.
std::optional<double> number_of(const Value& item) {
    const Entry* const number = find_entry(item, "number");
    const bool has_one = number != nullptr && number->value.kind == Kind::whole;
    return has_one ? std::optional(number->value.number) : std::nullopt;
}

/// Entries with numbers are named by them and never by their place, which would be another one's.
bool is_numbered(const Value& list) {
    return std::any_of(list.items.begin(), list.items.end(),
                       [](const Value& item) { return number_of(item).has_value(); });
}

std::optional<std::size_t> index_in(const Value& list, std::string_view key) {
    std::size_t index = 0;
    const auto result = std::from_chars(key.data(), key.data() + key.size(), index);
    if (result.ec != std::errc{} || result.ptr != key.data() + key.size()) return std::nullopt;
    if (!is_numbered(list)) return index < list.items.size() ? std::optional(index) : std::nullopt;
    for (std::size_t i = 0; i < list.items.size(); ++i)
        if (number_of(list.items[i]) == static_cast<double>(index)) return i;
    return std::nullopt;
}

std::string valid_numbers(const Value& list) {
    std::string numbers;
    for (const Value& item : list.items) {
        const std::optional<double> number = number_of(item);
        if (number) numbers += (numbers.empty() ? "" : ", ") + shown(*number);
    }
    return "its entries go by their `number`: " + numbers;
}

std::string valid_indices(const Value& list) {
    if (list.items.empty()) return "the list is empty: set it as a whole";
    if (is_numbered(list)) return valid_numbers(list);
    if (list.items.size() == 1) return "the list has the entry 0";
    return "the list has the entries 0 to " + std::to_string(list.items.size() - 1);
}

class Merger {
  public:
    Merger(Findings& findings, bool by_index) : findings_(findings), by_index_(by_index) {}

    void lay_over(Value& base, Value later) {
        if (is_overfull_) return;
        if (base.entries.size() + later.entries.size() > most_keys) {
            is_overfull_ = true;
            findings_.error("too-many", later.spot,
                            "a table has more than " + std::to_string(most_keys) + " keys",
                            "take out those that no plan knows");
        } else if (base.kind == Kind::table && later.kind == Kind::table) {
            // What one key on the command line changes still stands in its file as a whole.
            if (!by_index_) base.spot = later.spot;
            for (Entry& entry : later.entries) lay_entry(base, std::move(entry));
        } else if (base.kind == Kind::list && later.kind == Kind::table && by_index_) {
            for (Entry& entry : later.entries) lay_item(base, std::move(entry));
        } else {
            base = std::move(later);
        }
    }

  private:
    void lay_entry(Value& table, Entry entry) {
        Entry* const present = find_entry(table, entry.key);
        if (present == nullptr) {
            table.entries.push_back(std::move(entry));
        } else if (is_choice(entry.key)) {
            *present = std::move(entry);
        } else {
            present->spot = entry.spot;
            lay_over(present->value, std::move(entry.value));
        }
    }

    void lay_item(Value& list, Entry entry) {
        if (const auto index = index_in(list, entry.key))
            lay_over(list.items[*index], std::move(entry.value));
        else
            findings_.error("no-such-entry", entry.spot,
                            "`" + entry.key.substr(0, 40) + "` is no entry of this list",
                            valid_indices(list));
    }

    Findings& findings_;
    bool by_index_, is_overfull_ = false;
};

}  // namespace

void merge(Value& base, Value later, Findings& findings) {
    Merger(findings, false).lay_over(base, std::move(later));
}

void merge_by_index(Value& base, Value later, Findings& findings) {
    Merger(findings, true).lay_over(base, std::move(later));
}

}  // namespace durograde::plan
