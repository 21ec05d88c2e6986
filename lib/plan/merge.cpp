#include "plan/merge.hpp"

#include <charconv>
#include <optional>
#include <string>
#include <utility>

namespace durograde::plan {
namespace {

bool is_choice(std::string_view key) {
    return key == "cornering";
}

std::optional<std::size_t> index_in(const Value& list, std::string_view key) {
    std::size_t index = 0;
    const auto result = std::from_chars(key.data(), key.data() + key.size(), index);
    if (result.ec != std::errc{} || result.ptr != key.data() + key.size()) return std::nullopt;
    return index < list.items.size() ? std::optional(index) : std::nullopt;
}

std::string valid_indices(const Value& list) {
    if (list.items.empty()) return "the list is empty: set it as a whole";
    if (list.items.size() == 1) return "the list has the entry 0";
    return "the list has the entries 0 to " + std::to_string(list.items.size() - 1);
}

class Merger {
  public:
    explicit Merger(Findings* index_findings) : index_findings_(index_findings) {}

    void lay_over(Value& base, Value later) {
        if (base.kind == Kind::table && later.kind == Kind::table) {
            // What one key on the command line changes still stands in its file as a whole.
            if (index_findings_ == nullptr) base.spot = later.spot;
            for (Entry& entry : later.entries) lay_entry(base, std::move(entry));
        } else if (base.kind == Kind::list && later.kind == Kind::table &&
                   index_findings_ != nullptr) {
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
            index_findings_->error("no-such-entry", entry.spot,
                                   "`" + entry.key.substr(0, 40) + "` is no entry of this list",
                                   valid_indices(list));
    }

    Findings* index_findings_;
};

}  // namespace

void merge(Value& base, Value later) {
    Merger(nullptr).lay_over(base, std::move(later));
}

void merge_by_index(Value& base, Value later, Findings& findings) {
    Merger(&findings).lay_over(base, std::move(later));
}

}  // namespace durograde::plan
