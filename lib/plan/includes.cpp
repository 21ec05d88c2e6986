#include "plan/includes.hpp"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <system_error>
#include <utility>
#include <variant>

#include "plan/locate.hpp"
#include "plan/merge.hpp"
#include "plan/parse_toml.hpp"
#include "plan/read_file.hpp"

namespace durograde::plan {
namespace {

namespace fs = std::filesystem;

std::optional<Value> take_entry(Value& table, std::string_view key) {
    const auto found = std::find_if(table.entries.begin(), table.entries.end(),
                                    [key](const Entry& entry) { return entry.key == key; });
    if (found == table.entries.end()) return std::nullopt;
    std::optional<Value> value = std::move(found->value);
    table.entries.erase(found);
    return value;
}

class Includer {
  public:
    Includer(const std::string& first, Sources& sources, Findings& findings)
        : sources_(sources), findings_(findings) {
        std::error_code ignored;
        folder_ = folder_of_plan(first);
        first_ = {fs::weakly_canonical(first, ignored), first};
    }

    Gathered run(std::string text) {
        add_text(first_, std::move(text));
        return std::move(gathered_);
    }

  private:
    /// Depth first: what a file includes is merged before the file.
    void add_text(const Located& file, std::string text) {
        if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);  // a byte-order mark
        const std::uint32_t source = sources_.add_file(file.shown, std::move(text));
        std::optional<Value> root = parse_toml(sources_, source, findings_);
        chain_.push_back(file);
        if (root) {
            add_includes(file, take_entry(*root, "include"));
            if (chain_.size() > 1) check_fragment_format(*root);
            merge(gathered_.root, *std::move(root), findings_);
        }
        chain_.pop_back();
        done_.push_back(file.resolved);
        gathered_.files.push_back(file.shown);
    }

    /// `format` states what the first plan is; a file that it includes may repeat it.
    void check_fragment_format(Value& root) {
        const std::optional<Value> format = take_entry(root, "format");
        if (!format || (format->kind == Kind::whole && format->number == 1.0)) return;
        findings_.error("wrong-format", format->spot, "this file is of another format than 1",
                        "write `format = 1`, or include a file of that format");
    }

    void add_includes(const Located& from, const std::optional<Value>& include) {
        if (!include) return;
        const bool names = include->kind == Kind::list &&
                           std::all_of(include->items.begin(), include->items.end(),
                                       [](const Value& item) { return item.kind == Kind::text; });
        if (!names) {
            findings_.error("wrong-type", include->spot, "`include` is not a list of file names",
                            "write include = [\"four-heads.toml\"]");
            return;
        }
        for (const Value& name : include->items) add_include(from, name);
    }

    void add_include(const Located& from, const Value& name) {
        const std::optional<Located> file = allowed(from, name);
        if (!file || is_cycle(*file, name)) return;
        if (std::find(done_.begin(), done_.end(), file->resolved) != done_.end()) return;
        if (chain_.size() > include_depth_limit) {
            findings_.error(
                "include-depth", name.spot,
                "files are included more than " + std::to_string(include_depth_limit) + " deep",
                "include " + quoted(name.text) + " from a file further up");
            return;
        }
        if (done_.size() + chain_.size() > include_count_limit) {
            findings_.error(
                "too-many", name.spot,
                "more than " + std::to_string(include_count_limit) + " files are included in all",
                "put what belongs together into one file");
            return;
        }
        findings_.note_read(file->resolved.string());
        auto text = read_plan_file(file->resolved.string());
        if (const auto* unread = std::get_if<Unread>(&text))
            findings_.error("include-unread", name.spot, quoted(name.text) + " " + unread->text,
                            unread->mend);
        else
            add_text(*file, std::get<std::string>(std::move(text)));
    }

    /// The file that `name` means, if it is allowed to be read.
    std::optional<Located> allowed(const Located& from, const Value& name) {
        auto file = locate(name.text, from.shown, folder_);
        if (auto* located = std::get_if<Located>(&file)) return std::move(*located);
        auto& fault = std::get<NotLocated>(file);
        findings_.error("include-outside", name.spot, std::move(fault.text), std::move(fault.mend));
        return std::nullopt;
    }

    bool is_cycle(const Located& file, const Value& name) {
        const auto same = [&file](const Located& open) { return open.resolved == file.resolved; };
        auto at = std::find_if(chain_.begin(), chain_.end(), same);
        if (at == chain_.end()) return false;
        std::string chain;
        for (; at != chain_.end(); ++at) chain += at->shown + " -> ";
        findings_.error("include-cycle", name.spot,
                        "files include each other: " + chain + file.shown,
                        "take one of these includes out");
        return true;
    }

    Sources& sources_;
    Findings& findings_;
    fs::path folder_;  // nothing outside of it is read
    Located first_;
    std::vector<Located> chain_;  // open now, from the first plan on
    std::vector<fs::path> done_;  // merged
    Gathered gathered_;
};

}  // namespace

Gathered gather(std::string text, const std::string& file, Sources& sources, Findings& findings) {
    return Includer(file, sources, findings).run(std::move(text));
}

}  // namespace durograde::plan
