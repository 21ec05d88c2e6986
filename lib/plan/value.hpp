#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

/// A plan's text as a tree of values, each with its place. It stands between the TOML parser, which
/// one source file alone knows, and the sections, which give the values their meaning.
namespace durograde::plan {

/// Where something begins in one of the texts of `Sources`. Line 0: nowhere in particular.
struct Spot {
    std::uint32_t source = 0;
    std::uint32_t line = 0;    ///< from 1
    std::uint32_t column = 0;  ///< from 1, in characters
};

enum class Kind : std::uint8_t { truth, whole, number, text, list, table, date };

struct Entry;

struct Value {
    Kind kind = Kind::table;
    bool truth = false;
    double number = 0.0;  ///< of `whole` and `number`
    std::string text;
    std::vector<Value> items;    ///< of a list
    std::vector<Entry> entries;  ///< of a table
    Spot spot;
};

struct Entry {
    std::string key;
    Spot spot;  ///< of the key
    Value value;
};

/// The entry of a table by its key, or null.
const Entry* find_entry(const Value& table, std::string_view key);
Entry* find_entry(Value& table, std::string_view key);

/// The kind in words: "text", "a number".
std::string_view words_for(Kind kind);

}  // namespace durograde::plan
