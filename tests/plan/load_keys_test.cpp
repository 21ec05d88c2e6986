#include <algorithm>
#include <catch2/catch.hpp>
#include <cctype>
#include <cstdint>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

#include "plan/load.hpp"
#include "sample_plan.hpp"

using namespace durograde;
using namespace durograde::plan_test;

namespace {

nlohmann::json schema() {
    const auto file = std::filesystem::path(DUROGRADE_CORPUS) / "../docs/plan.schema.json";
    std::ifstream stream(file);
    INFO(file);
    REQUIRE(stream.good());
    return nlohmann::json::parse(stream);
}

struct SchemaKey {
    std::string path;  // as --set takes it, the first entry of each list
    nlohmann::json field;
};

void collect(const nlohmann::json& field, const std::string& path, std::vector<SchemaKey>& keys) {
    if (!path.empty() && !path.ends_with(".0")) keys.push_back({path, field});
    if (field.contains("properties"))
        for (const auto& [name, inner] : field["properties"].items())
            collect(inner, path.empty() ? name : path + "." + name, keys);
    if (field.contains("items") && field["items"].contains("properties"))
        collect(field["items"], path + ".0", keys);
}

std::vector<SchemaKey> schema_keys() {
    std::vector<SchemaKey> keys;
    collect(schema(), "", keys);
    return keys;
}

std::string last_part(const std::string& path) {
    return path.substr(path.rfind('.') + 1);
}

bool takes(const nlohmann::json& field, const std::string& type) {
    const nlohmann::json types = field["type"];
    return types.is_array() ? std::find(types.begin(), types.end(), type) != types.end()
                            : types == type;
}

/// TOML of a type that the field does not take.
std::string wrong_value(const nlohmann::json& field) {
    if (!takes(field, "boolean")) return "true";
    return "7";
}

bool has_code(const std::vector<Diagnostic>& faults, const std::string& code) {
    return std::any_of(faults.begin(), faults.end(),
                       [&code](const Diagnostic& diagnostic) { return diagnostic.code == code; });
}

/// A key in a plan's text: a bare word before `=`, or the last part of a table's header.
struct Occurrence {
    std::size_t at = 0, length = 0;
};

bool is_letter(char byte) {
    return (byte >= 'a' && byte <= 'z') || byte == '_';
}

std::vector<Occurrence> keys_in(const std::string& text) {
    std::vector<Occurrence> keys;
    bool in_string = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '"') in_string = !in_string;
        if (in_string || !is_letter(text[i]) || (i > 0 && is_letter(text[i - 1]))) continue;
        std::size_t end = i;
        while (end < text.size() && (is_letter(text[end]) || std::isdigit(text[end]))) ++end;
        const std::string rest = text.substr(end, 2);
        if (rest == " =" || rest.starts_with("]")) keys.push_back({i, end - i});
    }
    return keys;
}

/// Some single edits of a word: every deletion and swap, and at every place one other letter put in
/// and one put for the letter there. The letters come from a fixed sequence.
class Typos {
  public:
    std::vector<std::string> of(const std::string& word) {
        std::vector<std::string> typos;
        for (std::size_t i = 0; i <= word.size(); ++i) {
            const std::string head = word.substr(0, i), tail = word.substr(i);
            typos.push_back(head + letter() + tail);
            if (tail.empty()) continue;
            typos.push_back(head + letter() + tail.substr(1));
            if (word.size() > 1) typos.push_back(head + tail.substr(1));
            if (tail.size() > 1) typos.push_back(head + tail[1] + tail[0] + tail.substr(2));
        }
        return typos;
    }

  private:
    char letter() {
        state_ = state_ * 1664525U + 1013904223U;
        return static_cast<char>('a' + (state_ >> 16) % 26);
    }
    std::uint32_t state_ = 1;
};

}  // namespace

TEST_CASE("each missing required key is reported with its table", "[plan]") {
    struct Row {
        const char* remove;
        const char* after;
        const char* key;
        const char* table;
    };
    const Row row = GENERATE(values<Row>({
        {"format = 1", "", "`format`", "the plan"},
        {"reach = { x = [0, 320], y = [0, 300], z = [-1, 280] }", "", "`reach`", "[machine]"},
        {"x = [0, 320], ", "", "`x`", "machine.reach"},
        {"y = [0, 300], ", "", "`y`", "machine.reach"},
        {", z = [-1, 280]", "", "`z`", "machine.reach"},
        {"hottest = 290", "", "`hottest`", "[machine]"},
        {"number = 0", "", "`number`", "[[tool]]"},
        {"temperature = 190", "[[tool]]", "`temperature`", "[[tool]]"},
        {"heater = { rise = 4.1, loss = 0.011, ambient = 26 }", "", "`heater`", "[[tool]]"},
        {"heater = {}", "", "`heater`", "[[tool]]"},
        {"x = 10, ", "spot", "`x`", "prime in [[tool]]"},
        {"y = 290, ", "spot", "`y`", "prime in [[tool]]"},
        {"temperature = 190", "[material]", "`temperature`", "[[material.point]]"},
        {"name = \"tongue\"", "", "`name`", "[[shape]]"},
        {"from = [0, 0, 0], ", "capsule", "`from`", "capsule"},
        {"to = [0, 0, 12], ", "capsule", "`to`", "capsule"},
        {", radius = 3.0", "capsule", "`radius`", "capsule"},
        {"center = [1, 2, 3], ", "sphere", "`center`", "sphere"},
        {", radius = 4", "sphere", "`radius`", "sphere"},
        {"center = [0, 0, 5], ", "box", "`center`", "box"},
        {"size = [10, 12, 14], ", "box", "`size`", "box"},
        {"from = [0, 0, 0], ", "cylinder", "`from`", "cylinder"},
        {", radius = 2", "cylinder", "`radius`", "cylinder"},
        {"to = [0, 0, 12], ", "cone", "`to`", "cone"},
        {", radius = [2, 0]", "cone", "`radius`", "cone"},
        {"point = [0, 0, 1], ", "plane", "`point`", "plane"},
        {", normal = [0, 0, 1]", "plane", "`normal`", "plane"},
        {"capsule = { from = [0, 0, 0], to = [0, 0, 12], radius = 3.0 }", "", "no form",
         "[[shape]]"},
        {"where = \"true\"", "", "`where`", "[[zone]]"},
        {"tool = 2", "[[zone]]", "`tool`", "[[zone]]"},
        {"x = 40, ", "[sheet]", "`x`", "[sheet]"},
        {"y = 41, ", "[sheet]", "`y`", "[sheet]"},
        {"{ x = 40, y = 41, turn = 90 }, { x = 80, y = 42, kind = 1 }", "[sheet]", "`place`",
         "[sheet]"},
    }));
    INFO(row.remove);
    const Diagnostic found = fault(replaced(good_plan(), row.remove, "", row.after), "missing-key");
    INFO(format(found));
    CHECK(contains(found.text, row.key));
    CHECK(contains(found.text, row.table));
    CHECK(found.place.file == "pads.toml");
}

TEST_CASE("missing tables are reported", "[plan]") {
    const std::vector<Diagnostic> faults = faults_of("format = 1\n");
    REQUIRE(faults.size() == 2);
    CHECK(contains(faults[0].text, "`machine`"));
    CHECK(contains(faults[1].text, "`zone`"));
    const Diagnostic slip = fault(small_plan() + "[material]\npiont = []\n", "missing-key");
    CHECK(contains(slip.mend, "did you mean it by `piont`?"));
    CHECK(contains(fault(small_plan() + "[material]\n", "missing-key").text, "`point`"));
    const std::string no_zone = small_plan().substr(0, small_plan().find("[[zone")) + "[order]\n";
    CHECK(faults_of(no_zone).size() == 1);
    const std::string one = "[material]\n[[material.point]]\ntemperature = 190\n";
    CHECK(contains(fault(small_plan() + one, "missing-key").text, "fewer than two"));
    CHECK(contains(
        fault("zone = []\n" + small_plan().substr(0, small_plan().find("[[zone")), "missing-key")
            .text,
        "no [[zone]]"));
}

TEST_CASE("the plan with every key holds every key of the schema", "[plan][schema]") {
    const std::string text = plan_with_every_key();
    std::set<std::string> present, wanted;
    for (const Occurrence& key : keys_in(text)) present.insert(text.substr(key.at, key.length));
    for (const SchemaKey& key : schema_keys()) wanted.insert(last_part(key.path));
    for (const std::string& key : wanted) {
        INFO(key);
        CHECK(present.count(key) == 1);
    }
    for (const std::string& key : present) {
        INFO(key);
        CHECK(wanted.count(key) == 1);
    }
    CHECK_FALSE(has_code(faults_of(text), "unknown-key"));
}

TEST_CASE("every key that the schema knows is known, and of its type", "[plan][schema]") {
    const std::vector<SchemaKey> keys = schema_keys();
    CHECK(keys.size() > 100);
    for (const SchemaKey& key : keys) {
        const auto faults = faults_of(good_plan(), {{key.path, wrong_value(key.field)}});
        INFO(key.path << " = " << wrong_value(key.field));
        CHECK_FALSE(has_code(faults, "unknown-key"));
        // Refused as a whole, or refused here for another reason first.
        const bool is_refused = key.path == "include" || key.path == "format";
        if (is_refused) {
            CHECK_FALSE(faults.empty());
            continue;
        }
        const Diagnostic found = find_fault(faults, "wrong-type");
        CHECK(found.place.file == "--set " + key.path);
    }
}

TEST_CASE("every field of the schema is described", "[schema]") {
    for (const SchemaKey& key : schema_keys()) {
        INFO(key.path);
        CHECK(key.field.value("description", "").size() > 10);
        if (takes(key.field, "object")) CHECK(key.field["additionalProperties"] == false);
    }
}

TEST_CASE("a misspelt key is reported at its place with the key that was meant", "[plan]") {
    const std::string text = plan_with_every_key();
    std::set<std::string> known;
    for (const Occurrence& key : keys_in(text)) known.insert(text.substr(key.at, key.length));
    Typos typos;
    std::size_t tried = 0, right = 0;
    std::string wrong, silent;
    for (const Occurrence& key : keys_in(text)) {
        const std::string word = text.substr(key.at, key.length);
        for (const std::string& typo : typos.of(word)) {
            if (known.count(typo) > 0) continue;
            std::string changed = text;
            changed.replace(key.at, key.length, typo);
            ++tried;
            const auto faults = faults_of(changed);
            const bool suggested =
                std::any_of(faults.begin(), faults.end(), [&](const Diagnostic& found) {
                    return found.code == "unknown-key" && contains(found.text, "`" + typo + "`") &&
                           found.mend.starts_with("did you mean `" + word + "`") &&
                           found.place.line == line_of(changed, changed.substr(key.at, 30));
                });
            right += suggested ? 1 : 0;
            if (!has_code(faults, "unknown-key")) silent += " " + word + ":" + typo;
            if (!suggested) wrong += " " + word + ":" + typo;
        }
    }
    INFO(right << " of " << tried << " right; not:" << wrong);
    CHECK(tried > 2000);
    CHECK(silent.empty());
    CHECK(static_cast<double>(right) >= 0.95 * static_cast<double>(tried));
}

TEST_CASE("a key that is there already is suggested where no other is near", "[plan]") {
    const Diagnostic found =
        fault(replaced(good_plan(), "hottest", "hotest = 290\nhottest"), "unknown-key");
    CHECK(contains(found.mend, "did you mean `hottest`"));
}

TEST_CASE("a misspelt word is reported with the word that was meant", "[plan]") {
    struct Row {
        const char* from;
        const char* to;
        const char* meant;
    };
    const Row row = GENERATE(values<Row>({
        {"dwell_p = \"s\"", "dwell_p = \"m\"", "ms"},
        {"speed_limit_per = \"min\"", "speed_limit_per = \"mn\"", "min"},
        {"g10 = \"tool\"", "g10 = \"tol\"", "tool"},
        {"where = \"start\"", "where = \"strat\"", "start"},
        {"parts = \"input\"", "parts = \"imput\"", "input"},
    }));
    const Diagnostic found = fault(replaced(good_plan(), row.from, row.to), "unknown-word");
    CHECK(contains(found.mend, std::string("did you mean \"") + row.meant + "\""));
}
