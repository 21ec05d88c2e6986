#include "plan/value.hpp"

#include <algorithm>
#include <utility>

namespace durograde::plan {

const Entry* find_entry(const Value& table, std::string_view key) {
    const auto found = std::find_if(table.entries.begin(), table.entries.end(),
                                    [key](const Entry& entry) { return entry.key == key; });
    return found == table.entries.end() ? nullptr : &*found;
}

Entry* find_entry(Value& table, std::string_view key) {
    return const_cast<Entry*>(find_entry(std::as_const(table), key));
}

std::string_view words_for(Kind kind) {
    switch (kind) {
        case Kind::truth:
            return "true or false";
        case Kind::whole:
            return "a whole number";
        case Kind::number:
            return "a number with a point";
        case Kind::text:
            return "text";
        case Kind::list:
            return "a list";
        case Kind::table:
            return "a table";
        case Kind::date:
            return "a date or time";
    }
    return "something else";
}

}  // namespace durograde::plan
