#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <utility>

#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

constexpr std::size_t places_limit = 4096;
constexpr double kinds_limit = 64;

std::variant<Keep, ToolNumber> read_outside(TableReader& sheet, const std::vector<Tool>& tools) {
    const Value* const value = sheet.find("outside");
    if (value == nullptr || (value->kind == Kind::text && value->text == "keep")) return Keep{};
    if (value->kind == Kind::whole && std::abs(value->number) < 1e6) {
        const int number = static_cast<int>(value->number);
        if (find_tool(tools, number) != nullptr) return ToolNumber{number};
    }
    if (value->kind == Kind::whole)
        sheet.findings().error("unknown-tool", value->spot,
                               "there is no tool " + shown(value->number), list_of(tools));
    else
        sheet.findings().error("wrong-type", value->spot,
                               sheet.label("outside") + " is neither a tool's number nor \"keep\"",
                               "write outside = \"keep\", or a tool's number");
    return Keep{};
}

void check_reach(TableReader& table, std::string_view axis, double value, const Range& reach) {
    if (reach.low >= reach.high || !(value < reach.low || value > reach.high)) return;
    table.findings().error(
        "out-of-reach", table.find(axis)->spot,
        table.label(axis) + " is " + shown(value) + " mm, outside of machine.reach",
        "choose a place from " + shown(reach.low) + " to " + shown(reach.high) + " mm");
}

PartPlace read_place(TableReader& table, const Machine& machine) {
    PartPlace place;
    place.x_mm = table.needed_number("x", any_number, "x = 40, in mm");
    place.y_mm = table.needed_number("y", any_number, "y = 40, in mm");
    place.turn_deg = table.number("turn", 0.0, {-360.0, 360.0});
    place.kind = table.whole("kind", 0, {0, kinds_limit - 1});
    check_reach(table, "x", place.x_mm, machine.reach_x);
    check_reach(table, "y", place.y_mm, machine.reach_y);
    table.finish();
    return place;
}

std::vector<PartPlace> read_places(TableReader& sheet, const Value& value, const Machine& machine) {
    std::vector<PartPlace> places;
    for (TableReader& table : sheet.list("place", "an entry of `place` in [sheet]", places_limit))
        places.push_back(read_place(table, machine));
    if (value.items.empty())
        sheet.findings().error("missing-key", value.spot, "`place` in [sheet] lists no part",
                               "list where each part's origin lies: place = [{ x = 40, y = 40 }]");
    return places;
}

constexpr std::string_view place_mend =
    "write place = \"detect\" or \"labels\", or list where each part's origin lies: place = [{ x = "
    "40, y = 40, "
    "turn "
    "= 0 }]";

/// "detect" or "labels".
Sheet::Source read_word(TableReader& sheet, const Value& value) {
    if (value.kind == Kind::text && value.text == "labels") return Sheet::Source::labels;
    if (value.kind == Kind::text && value.text == "detect") return Sheet::Source::islands;
    if (value.kind != Kind::text) {
        sheet.findings().error("wrong-type", value.spot,
                               sheet.label("place") + " is " + std::string(words_for(value.kind)),
                               std::string(place_mend));
    } else {
        sheet.findings().error("unknown-word", value.spot,
                               sheet.label("place") + " is `" + value.text.substr(0, 40) + "`",
                               std::string(place_mend));
    }
    return Sheet::Source::islands;
}

void check_kinds(const Sheet& sheet, TableReader& table, const Value& kinds) {
    const auto is_beyond = [&](const PartPlace& place) { return place.kind >= sheet.kinds; };
    if (std::any_of(sheet.places.begin(), sheet.places.end(), is_beyond))
        table.findings().error("contradiction", kinds.spot,
                               "a listed place is of a `kind` that is not below `kinds`",
                               "raise `kinds`: the first kind is 0");
}

}  // namespace

Sheet read_sheet(TableReader& reader, const Plan& plan) {
    Sheet sheet;
    TableReader table = reader.inner_or_empty("sheet", "[sheet]");
    sheet.outside = read_outside(table, plan.tools);
    const bool asks_nothing = plan.asks_nothing() && std::holds_alternative<Keep>(sheet.outside);

    const Value* const value = table.find("place");
    if (value != nullptr && value->kind == Kind::list) {
        sheet.places = read_places(table, *value, plan.machine);
    } else {
        const auto source = value == nullptr ? Sheet::Source::islands : read_word(table, *value);
        if (!asks_nothing) sheet.source = source;
    }
    sheet.kinds = table.whole("kinds", 1, {1, kinds_limit});
    if (const Value* const kinds = table.find("kinds")) check_kinds(sheet, table, *kinds);
    table.finish();
    return sheet;
}

}  // namespace durograde::plan
