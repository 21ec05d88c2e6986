#include "plan/fingerprint.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <vector>

#include "text/digest.hpp"

namespace durograde::plan {
namespace {

void add_number(double number, Digest& digest) {
    std::array<char, 32> text{};
    const auto end = std::to_chars(text.data(), text.data() + text.size(), number).ptr;
    digest.add({text.data(), static_cast<std::size_t>(end - text.data())});
    digest.add(";");
}

// Texts are written with their length, so that no two trees read alike.
void add_text(const std::string& text, Digest& digest) {
    digest.add(std::to_string(text.size()) + ":");
    digest.add(text);
}

void add_value(const Value& value, Digest& digest);

void add_table(const Value& table, Digest& digest) {
    std::vector<const Entry*> entries;
    for (const Entry& entry : table.entries) entries.push_back(&entry);
    std::sort(entries.begin(), entries.end(),
              [](const Entry* a, const Entry* b) { return a->key < b->key; });
    digest.add("{");
    for (const Entry* entry : entries) {
        add_text(entry->key, digest);
        add_value(entry->value, digest);
    }
    digest.add("}");
}

void add_value(const Value& value, Digest& digest) {
    switch (value.kind) {
        case Kind::truth:
            return digest.add(value.truth ? "true" : "false");
        case Kind::whole:
        case Kind::number:
            return add_number(value.number, digest);
        case Kind::text:
        case Kind::date:
            return add_text(value.text, digest);
        case Kind::list:
            digest.add("[");
            for (const Value& item : value.items) add_value(item, digest);
            return digest.add("]");
        case Kind::table:
            return add_table(value, digest);
    }
}

}  // namespace

std::string fingerprint(const Value& root, std::span<const Shape> shapes) {
    Digest digest;
    add_table(root, digest);
    for (const Shape& shape : shapes) {
        if (const auto* mesh = std::get_if<Mesh>(&shape.form)) add_text(mesh->digest, digest);
    }
    return digest.hex();
}

}  // namespace durograde::plan
