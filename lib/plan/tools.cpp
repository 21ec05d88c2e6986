#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <utility>

#include "plan/sections.hpp"
#include "plan/tool_parts.hpp"
#include "plan/travel.hpp"

namespace durograde::plan {
namespace {

constexpr double largest_number = 999;  // a tool's; larger ones are no tools of such machines

/// Nothing for "auto".
std::optional<double> read_standby(TableReader& tool, std::optional<double> fallback) {
    const Value* const value = tool.find("standby");
    if (value == nullptr || value->kind != Kind::text)
        return tool.number("standby", fallback.value_or(0.0), temperature_bounds);
    if (value->text == "auto") return std::nullopt;
    tool.findings().error("wrong-type", value->spot, tool.label("standby") + " is text",
                          "write a temperature without quotes, standby = 150, or \"auto\"");
    return fallback;
}

std::string celsius(double value) {
    return shown(value) + " °C";
}

/// The most that the tool may be asked for.
double hottest_c(const Tool& tool) {
    return tool.range_c ? tool.range_c->high : tool.temperature_c;
}

/// With full power the tool comes to ambient + rise / loss at steady state.
void check_heater(TableReader& table, const Tool& tool) {
    const Value* const given = table.find("heater");
    if (given == nullptr || !(hottest_c(tool) >= tool.heater.end_c())) return;
    table.findings().error("contradiction", given->spot,
                           "this heater never reaches the tool's temperature, " +
                               celsius(hottest_c(tool)) + ": it ends at " +
                               celsius(std::floor(tool.heater.end_c())),
                           "check `rise` and `loss`: ambient + rise / loss is the end");
}

void check_standby(TableReader& table, const Tool& tool) {
    if (!(tool.standby_c > tool.temperature_c)) return;
    const Value* const given = table.find("standby");
    table.findings().error("out-of-range", given != nullptr ? given->spot : table.table().spot,
                           table.label("standby") + " is " + celsius(*tool.standby_c) +
                               (given == nullptr ? " where it is not given" : "") +
                               ", above the tool's temperature, " +
                               (tool.range_c ? "which may be " : "") + celsius(tool.temperature_c),
                           "write a standby at which the tool does not ooze, such as " +
                               shown(std::floor(tool.temperature_c * 0.8)));
}

/// A tool's number, or one that no zone can name where it is missing or wrong.
int read_number(TableReader& table) {
    const double number = table.needed_number("number", {0.0, largest_number}, "number = 0");
    if (std::isnan(number)) return -1;
    if (number == std::floor(number)) return static_cast<int>(number);
    table.findings().error("wrong-type", table.find("number")->spot,
                           table.label("number") + " is not a whole number",
                           "write the number that the machine selects the tool by: 0, 1, 2");
    return -1;
}

constexpr int most_set_points = 16;  // of a tool: each further one is another wait

/// A temperature of its own, or a range within which zones that ask for a hardness have it set.
void read_heat(TableReader& table, Tool& tool) {
    const Value* const given = table.find("range");
    const Value* const count = table.find("set_points");
    tool.set_points = table.whole("set_points", tool.set_points, {1, most_set_points});
    if (given == nullptr) {
        tool.temperature_c = table.needed_number("temperature", temperature_bounds,
                                                 "temperature = 190, in °C, or range = [190, 250]");
        if (count != nullptr)
            table.findings().error("conflict", count->spot,
                                   "`set_points` says how many a `range` is used for, and the tool "
                                   "has none",
                                   "add range = [190, 250], or leave `set_points` out");
        return;
    }
    if (const Value* const own = table.find("temperature"))
        table.findings().error("conflict", own->spot, "[[tool]] has a `temperature` and a `range`",
                               "keep the one that is meant");
    const std::vector<double> range = table.numbers("range", 2, temperature_bounds);
    tool.temperature_c = std::nan("");
    tool.range_c = Range{tool.temperature_c, tool.temperature_c};
    if (range.empty()) return;
    if (range[0] > range[1])
        table.findings().error("out-of-range", given->spot,
                               "`range` falls from " + shown(range[0]) + " to " + shown(range[1]),
                               "write the lower temperature first: range = [190, 250]");
    tool.range_c = Range{range[0], range[1]};
    tool.temperature_c = range[0];
}

Tool read_tool(TableReader& table, const ToolContext& context) {
    Tool tool;
    tool.number = read_number(table);
    read_heat(table, tool);
    tool.standby_c = read_standby(table, tool.standby_c);
    tool.ready_k = table.number("ready", tool.ready_k, {0.0, 50.0, false});
    tool.settle_s = table.number("settle", tool.settle_s, {0.0, 600.0});
    tool.travel = read_travel(table, "[[tool]]", {});
    tool.fan = read_fan(table);
    tool.max_flow_mm3_s = table.optional_number("max_flow", flows);
    tool.melt_mm3 = table.optional_number("melt", positive);
    tool.prime = read_prime(table, context.machine);
    // Where nothing is timed by it, a usual heater will do to tell how long waits may take.
    const bool is_timed = context.heat_asked || (tool.prime && tool.prime->refills);
    if (is_timed || table.find("heater") != nullptr) tool.heater = read_heater(table);
    table.finish();
    tool.place = table.findings().place(table.table().spot);
    const std::string_view key = tool.range_c ? "range" : "temperature";
    check_temperature(table, key, tool.temperature_c, context);
    if (hottest_c(tool) > tool.temperature_c)
        check_temperature(table, key, hottest_c(tool), context);
    check_heater(table, tool);
    check_standby(table, tool);
    if (context.strings_asked && !tool.travel.retract)
        table.findings().warning("no-retract", table.table().spot,
                                 "[strings] is asked for, and this tool has no `retract`",
                                 "add retract = { length = 1.2, speed = 35 }");
    return tool;
}

}  // namespace

std::vector<Tool> read_tools(TableReader& plan, const ToolContext& context) {
    std::vector<Tool> tools;
    std::map<int, Spot> first;
    for (TableReader& table : plan.list("tool", "[[tool]]", 256)) {
        tools.push_back(read_tool(table, context));
        const int number = tools.back().number;
        const auto [same, is_new] = first.try_emplace(number, table.table().spot);
        if (!is_new && number >= 0)
            table.findings().error("duplicate", table.find("number")->spot,
                                   "tool " + std::to_string(number) + " is defined at " +
                                       table.findings().reference(same->second) + " already",
                                   "give each tool a number of its own");
    }
    return tools;
}

const Tool* find_tool(const std::vector<Tool>& tools, int number) {
    const auto found = std::find_if(tools.begin(), tools.end(),
                                    [number](const Tool& tool) { return tool.number == number; });
    return found == tools.end() ? nullptr : &*found;
}

std::string list_of(const std::vector<Tool>& tools) {
    std::string text;
    for (const Tool& tool : tools) {
        if (tool.number < 0) continue;  // reported already
        text += (text.empty() ? "the tools are " : ", ") + std::to_string(tool.number);
        if (!std::isfinite(tool.temperature_c)) continue;
        text += tool.range_c ? " from " + shown(tool.range_c->low) + " to " +
                                   shown(tool.range_c->high) + " °C"
                             : " at " + shown(tool.temperature_c) + " °C";
    }
    return text.empty() ? "no [[tool]] is defined" : text;
}

}  // namespace durograde::plan
