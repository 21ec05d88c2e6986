#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "plan/condition_checks.hpp"
#include "plan/sections.hpp"
#include "plan/travel.hpp"
#include "plan/wishes.hpp"
#include "plan/zone_list.hpp"

namespace durograde::plan {
namespace {

class ZoneReader {
  public:
    ZoneReader(TableReader& table, const Plan& plan)
        : table_(table), findings_(table.findings()), plan_(plan), tools_(plan.tools) {}

    Zone read(std::size_t position) {
        Zone zone;
        zone.name = table_.text("name", "zone " + std::to_string(position + 1));
        zone.place = findings_.place(table_.table().spot);
        read_where(zone);
        read_choice(zone);
        read_steady_flow(zone);
        read_travel_of(zone);
        zone.thinnest_mm = table_.optional_number("thinnest", {0.0, 10.0, false});
        table_.finish();
        return zone;
    }

  private:
    void read_where(Zone& zone) {
        if (table_.need("where", "where = \"distance(tongue) <= 1.5\", or \"true\" for the rest") ==
            nullptr)
            return;
        zone.where_text = table_.text("where", "");
        const Value& value = *table_.find("where");
        if (value.kind != Kind::text) return;
        auto parsed = grammar::parse_condition(zone.where_text);
        if (const auto* error = std::get_if<grammar::ConditionError>(&parsed)) {
            findings_.error_inside("bad-condition", value.spot, value.text, error->column - 1,
                                   error->text, error->mend);
            return;
        }
        zone.where = std::get<grammar::Condition>(std::move(parsed));
        check_condition(value, zone.where, 0, plan_, findings_);
    }

    void read_choice(Zone& zone) {
        const Value* const tool = table_.find("tool");
        const Value* const temperature = table_.find("temperature");
        const Value* const hardness = table_.find("hardness");
        const bool has_target = tool != nullptr || temperature != nullptr;
        if (!has_target && hardness == nullptr)
            findings_.error("missing-key", table_.table().spot,
                            "[[zone]] lacks `tool`, `temperature` or `hardness`",
                            "add tool = 0, tool = \"keep\", temperature = 190 or hardness = 80");
        if (has_target && hardness != nullptr)
            findings_.error("conflict", hardness->spot,
                            "[[zone]] has `hardness` beside `tool` or `temperature`",
                            "keep the one that is meant");
        zone.hardness_shore_a = read_wish(table_, plan_);
        const auto wanted_c = table_.optional_number("temperature", temperature_bounds);
        if (tool != nullptr) zone.tool = read_tool(*tool);
        if (tool != nullptr && wanted_c) set_tool(zone, *wanted_c, *temperature);
        if (tool == nullptr && wanted_c) zone.tool = tool_at(*wanted_c, *temperature);
    }

    void read_steady_flow(Zone& zone) {
        const std::vector<double> band = table_.numbers("steady_flow", 2, flows);
        if (band.empty()) return;
        const Spot spot = table_.find("steady_flow")->spot;
        if (band[0] > band[1])
            findings_.error("out-of-range", spot,
                            "`steady_flow` falls from " + shown(band[0]) + " to " + shown(band[1]),
                            "write the lower flow first: steady_flow = [3.0, 5.0]");
        refuse_where_kept("steady_flow");
        zone.steady_flow_mm3_s = Range{band[0], band[1]};
    }

    void read_travel_of(Zone& zone) {
        const std::string_view key = travel_key(table_);
        if (key.empty()) return;
        const auto* number = std::get_if<ToolNumber>(&zone.tool);
        const Travel own = number != nullptr ? find_tool(tools_, number->number)->travel : Travel{};
        const Travel travel = read_travel(table_, "[[zone]]", own);
        if (number != nullptr) zone.travel = travel;
        refuse_where_kept(key);
    }

    void refuse_where_kept(std::string_view key) {
        const Value* const tool = table_.find("tool");
        if (table_.find("hardness") != nullptr && tool == nullptr) refuse_beside_wish(key);
        if (tool == nullptr || tool->kind != Kind::text) return;
        const std::string name(key);
        findings_.error("conflict", table_.find(key)->spot,
                        "[[zone]] keeps the input's tool and has `" + name + "`",
                        "write the tool's number, or leave `" + name + "` out");
    }

    /// Which tool the zone gets is not known yet, and other zones may share it.
    void refuse_beside_wish(std::string_view key) {
        const std::string name(key);
        findings_.error("conflict", table_.find(key)->spot,
                        "[[zone]] asks for a hardness and has `" + name + "`",
                        "give `" + name + "` to the tools, or name the zone's tool");
    }

    /// A tool that is set to another temperature than its own.
    void set_tool(Zone& zone, double wanted_c, const Value& value) {
        if (table_.find("tool")->kind == Kind::text)
            return findings_.error("conflict", value.spot,
                                   "[[zone]] keeps the input's temperature and has its own",
                                   "write the tool's number, or leave `temperature` out");
        const auto* number = std::get_if<ToolNumber>(&zone.tool);
        if (number == nullptr) return;  // reported already
        zone.temperature_c = wanted_c;
        check_temperature(table_, "temperature", wanted_c, {plan_.machine, plan_.material});
        const double end_c = find_tool(tools_, number->number)->heater.end_c();
        if (wanted_c >= end_c)
            findings_.error("contradiction", value.spot,
                            "the heater of tool " + std::to_string(number->number) +
                                " never reaches " + shown(wanted_c) + " °C: it ends at " +
                                shown(std::floor(end_c)) + " °C",
                            "lower it; check `rise` and `loss`: ambient + rise / loss is the end");
    }

    std::variant<Keep, ToolNumber> read_tool(const Value& value) {
        if (value.kind == Kind::text && value.text == "keep") return Keep{};
        if (value.kind != Kind::whole) {
            findings_.error("wrong-type", value.spot,
                            table_.label("tool") + " is neither a tool's number nor \"keep\"",
                            "write tool = 0, or tool = \"keep\"; " + list_of(tools_));
            return Keep{};
        }
        for (const Tool& tool : tools_) {
            if (tool.number != value.number) continue;
            if (!tool.range_c) return ToolNumber{tool.number};
            findings_.error(
                "conflict", value.spot,
                "tool " + shown(value.number) +
                    " has a `range`: zones that ask for a hardness say what it is set to",
                "ask for a `hardness`, or give the tool a `temperature` of its own");
            return Keep{};
        }
        findings_.error("unknown-tool", value.spot, "there is no tool " + shown(value.number),
                        list_of(tools_));
        return Keep{};
    }

    /// The first tool in the plan that has the temperature.
    std::variant<Keep, ToolNumber> tool_at(double wanted_c, const Value& value) {
        constexpr double same_c = 1e-6;
        for (const Tool& tool : tools_)
            if (!tool.range_c && std::abs(tool.temperature_c - wanted_c) < same_c)
                return ToolNumber{tool.number};
        findings_.error("no-tool-for-zone", value.spot,
                        "no tool has the temperature " + shown(wanted_c) + " °C",
                        list_of(tools_) + "; add tool = 0 to have that one set to it");
        return Keep{};
    }

    TableReader& table_;
    Findings& findings_;
    const Plan& plan_;
    const std::vector<Tool>& tools_;
};

}  // namespace

std::vector<Zone> read_zones(TableReader& reader, const Plan& plan) {
    const Value* const value =
        plan.gradient ? reader.find("zone")
                      : reader.need("zone", "[[zone]] with `where` and `tool`, one at least");
    std::vector<TableReader> tables = reader.list("zone", "[[zone]]", 256);
    std::vector<Zone> zones;
    zones.reserve(tables.size());
    for (TableReader& table : tables) zones.push_back(ZoneReader(table, plan).read(zones.size()));
    if (!plan.gradient && value != nullptr && value->kind == Kind::list && value->items.empty())
        reader.findings().error("missing-key", value->spot, "the plan has no [[zone]]",
                                "add [[zone]] with `where` and `tool`, one at least");
    judge_zones(tables, zones, plan, reader.findings());
    return zones;
}

}  // namespace durograde::plan
