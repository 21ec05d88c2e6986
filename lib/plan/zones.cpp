#include <algorithm>
#include <cmath>
#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "plan/sections.hpp"
#include "plan/travel.hpp"

namespace durograde::plan {
namespace {

using grammar::Op;

bool is_literally_true(const grammar::Condition& condition) {
    return condition.steps.size() == 1 && condition.steps[0].op == Op::truth &&
           condition.steps[0].number != 0.0;
}

class ZoneReader {
  public:
    ZoneReader(TableReader& table, const Plan& plan)
        : table_(table),
          findings_(table.findings()),
          plan_(plan),
          tools_(plan.tools),
          shapes_(plan.shapes) {}

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
        for (const grammar::Step& step : zone.where.steps) check_step(value, step);
        check_depths(value, zone.where.steps);
    }

    /// Depths beyond the limit are not told apart: a boundary there would never be found.
    void check_depths(const Value& value, const std::vector<grammar::Step>& steps) {
        const double limit_mm = plan_.depth.limit_mm - plan_.split.interlock_mm;
        for (std::size_t i = 2; i < steps.size(); ++i) {
            const bool compares = steps[i].op >= Op::less && steps[i].op <= Op::greater_equal;
            const grammar::Step &a = steps[i - 2], &b = steps[i - 1];
            const bool has_both = (a.op == Op::depth && b.op == Op::number) ||
                                  (a.op == Op::number && b.op == Op::depth);
            if (!compares || !has_both) continue;
            const double wanted_mm = a.op == Op::number ? a.number : b.number;
            if (wanted_mm < limit_mm) continue;
            findings_.error_inside("beyond-limit", value.spot, value.text, b.column - 1,
                                   "depth is told up to " + shown(limit_mm) +
                                       " mm, and is compared with " + shown(wanted_mm) + " mm",
                                   "raise `limit` in [depth], or compare with less");
        }
    }

    void check_step(const Value& value, const grammar::Step& step) {
        if (step.op != Op::distance) return;
        std::vector<std::string_view> names;
        std::string all;
        for (const Shape& shape : shapes_) {
            names.push_back(shape.name);
            all += (all.empty() ? "the shapes are " : ", ") + shape.name;
        }
        if (std::find(names.begin(), names.end(), step.name) != names.end()) return;
        const std::string_view guess = nearest(step.name, names);
        const std::string meant =
            guess.empty() ? std::string() : "did you mean `" + std::string(guess) + "`? ";
        findings_.error_inside("unknown-shape", value.spot, value.text, step.column - 1,
                               "there is no [[shape]] `" + step.name.substr(0, 40) + "`",
                               meant + (all.empty() ? "add a [[shape]] of that name" : all));
    }

    void read_choice(Zone& zone) {
        const Value* const tool = table_.find("tool");
        const Value* const temperature = table_.find("temperature");
        const Value* const hardness = table_.find("hardness");
        const bool has_target = tool != nullptr || temperature != nullptr;
        if (!has_target && hardness == nullptr)
            findings_.error("missing-key", table_.table().spot,
                            "[[zone]] lacks `tool` or `temperature`",
                            "add tool = 0, tool = \"keep\" or temperature = 190");
        if (has_target && hardness != nullptr)
            findings_.error("conflict", hardness->spot,
                            "[[zone]] has `hardness` beside `tool` or `temperature`",
                            "keep the one that is meant");
        if (hardness != nullptr)
            table_.refuse(hardness->spot, "`hardness` in [[zone]]",
                          "write the tool or the temperature that gives it: temperature = 190");
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
        if (tool == nullptr || tool->kind != Kind::text) return;
        const std::string name(key);
        findings_.error("conflict", table_.find(key)->spot,
                        "[[zone]] keeps the input's tool and has `" + name + "`",
                        "write the tool's number, or leave `" + name + "` out");
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
        for (const Tool& tool : tools_)
            if (tool.number == value.number) return ToolNumber{tool.number};
        findings_.error("unknown-tool", value.spot, "there is no tool " + shown(value.number),
                        list_of(tools_));
        return Keep{};
    }

    /// The first tool in the plan that has the temperature.
    std::variant<Keep, ToolNumber> tool_at(double wanted_c, const Value& value) {
        constexpr double same_c = 1e-6;
        for (const Tool& tool : tools_)
            if (std::abs(tool.temperature_c - wanted_c) < same_c) return ToolNumber{tool.number};
        findings_.error("no-tool-for-zone", value.spot,
                        "no tool has the temperature " + shown(wanted_c) + " °C",
                        list_of(tools_) + "; add tool = 0 to have that one set to it");
        return Keep{};
    }

    TableReader& table_;
    Findings& findings_;
    const Plan& plan_;
    const std::vector<Tool>& tools_;
    const std::vector<Shape>& shapes_;
};

void check_names(std::vector<TableReader>& tables, const std::vector<Zone>& zones) {
    std::map<std::string, Spot> first;
    for (std::size_t i = 0; i < tables.size(); ++i) {
        const Entry* const name = find_entry(tables[i].table(), "name");
        if (name == nullptr) continue;
        const auto [same, is_new] = first.try_emplace(zones[i].name, name->value.spot);
        if (is_new) continue;
        tables[i].findings().error("duplicate", name->value.spot,
                                   "a zone `" + zones[i].name.substr(0, 40) + "` is defined at " +
                                       tables[i].findings().reference(same->second) + " already",
                                   "give each zone a name of its own");
    }
}

/// Warns of zones behind one that holds everywhere, or where no zone does.
void check_cover(std::vector<TableReader>& tables, const std::vector<Zone>& zones,
                 Findings& findings) {
    const auto all = std::find_if(zones.begin(), zones.end(),
                                  [](const Zone& zone) { return is_literally_true(zone.where); });
    if (all == zones.end()) {
        findings.warning(
            "open-end", tables.back().table().spot,
            "no zone holds everywhere: a bead in a gap between the zones will be refused",
            "end with a zone where = \"true\"");
        return;
    }
    const auto position = static_cast<std::size_t>(all - zones.begin());
    for (std::size_t i = position + 1; i < zones.size(); ++i)
        findings.warning("unreachable-zone", tables[i].table().spot,
                         "this zone is never reached: the one at " +
                             findings.reference(tables[position].table().spot) +
                             " holds everywhere",
                         "move it before that one; the first zone that holds wins");
}

/// Where pieces of two zones join, for one is too short, they are printed alike: the first key in
/// which they would not be, or nothing.
std::string_view differing_key(const Zone& a, const Zone& b, const Plan& plan) {
    const auto band = [](const Zone& zone) {
        const Range flow = zone.steady_flow_mm3_s.value_or(Range{});
        return std::pair{flow.low, flow.high};
    };
    if (band(a) != band(b)) return "steady_flow";
    const Tool& tool = *find_tool(plan.tools, std::get<ToolNumber>(a.tool).number);
    return differing_key(a.travel.value_or(tool.travel), b.travel.value_or(tool.travel));
}

void check_likeness(std::vector<TableReader>& tables, const std::vector<Zone>& zones,
                    const Plan& plan) {
    const auto heat = [&](const Zone& zone) {
        const auto* tool = std::get_if<ToolNumber>(&zone.tool);
        const bool known = tool != nullptr && find_tool(plan.tools, tool->number) != nullptr;
        return known ? std::pair{tool->number, plan.temperature_c(zone)} : std::pair{-1, 0.0};
    };
    for (std::size_t i = 1; i < zones.size(); ++i) {
        for (std::size_t before = 0; before < i; ++before) {
            if (heat(zones[i]).first < 0 || heat(zones[i]) != heat(zones[before])) continue;
            const std::string_view key = differing_key(zones[i], zones[before], plan);
            if (key.empty()) continue;
            return tables[i].findings().error(
                "conflict", tables[i].table().spot,
                "zones `" + zones[before].name + "` and `" + zones[i].name +
                    "` have one tool at one temperature and not one `" + std::string(key) + "`",
                "write the same `" + std::string(key) + "` into both");
        }
    }
}

/// The softest zone of a flexible contact part is to be four beads of 0.4 mm thick where the plan
/// says nothing: two load-carrying walls (of two beads each; from memory) that do not share a bead.
/// It is about the 1.524 mm (60 thousandths of an inch) that such parts are given (common practice,
/// no source).
constexpr double usual_thinnest_mm = 4 * 0.4;

/// The hottest zone is the softest: the filament foams more the hotter it is extruded.
void set_usual_thickness(std::vector<Zone>& zones, const Plan& plan) {
    Zone* softest = nullptr;
    double hottest_c = 0.0;
    for (Zone& zone : zones) {
        const auto* tool = std::get_if<ToolNumber>(&zone.tool);
        if (tool == nullptr || find_tool(plan.tools, tool->number) == nullptr) continue;
        if (plan.temperature_c(zone) <= hottest_c) continue;
        hottest_c = plan.temperature_c(zone);
        softest = &zone;
    }
    if (softest != nullptr && !softest->thinnest_mm) softest->thinnest_mm = usual_thinnest_mm;
}

}  // namespace

std::vector<Zone> read_zones(TableReader& reader, const Plan& plan) {
    const Value* const value =
        reader.need("zone", "[[zone]] with `where` and `tool`, one at least");
    std::vector<TableReader> tables = reader.list("zone", "[[zone]]", 256);
    std::vector<Zone> zones;
    zones.reserve(tables.size());
    for (TableReader& table : tables) zones.push_back(ZoneReader(table, plan).read(zones.size()));
    if (value != nullptr && value->kind == Kind::list && value->items.empty())
        reader.findings().error("missing-key", value->spot, "the plan has no [[zone]]",
                                "add [[zone]] with `where` and `tool`, one at least");
    check_names(tables, zones);
    check_likeness(tables, zones, plan);
    set_usual_thickness(zones, plan);
    if (!zones.empty()) check_cover(tables, zones, reader.findings());
    return zones;
}

}  // namespace durograde::plan
