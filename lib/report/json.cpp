#include "report/json.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "region/zones.hpp"
#include "report/json_firmness.hpp"
#include "version.hpp"

namespace durograde::report {
namespace {

Json reasons(const std::array<std::uint64_t, grade::reason_count>& list) {
    Json object = Json::object();
    for (std::size_t i = 0; i < list.size(); ++i) {
        if (list[i] > 0) object[std::string(grade::reason_names[i])] = list[i];
    }
    return object;
}

void add_open_air(Json& entry, const grade::OpenAirFigures& air) {
    entry["open_air_mm_before"] = number(air.before_mm);
    entry["open_air_mm_after"] = number(air.after_mm);
    entry["open_air_unprotected_mm_after"] = number(air.bare_mm);
}

template <typename Key>
grade::OpenAirFigures found(const std::map<Key, grade::OpenAirFigures>& list, const Key& key) {
    const auto entry = list.find(key);
    return entry == list.end() ? grade::OpenAirFigures{} : entry->second;
}

Json filament(const grade::Figures& f) {
    return {{"fed_mm3", number(f.fed_mm3())},
            {"beads_mm3", number(f.beads_mm3())},
            {"start_and_end_mm3", number(f.start_and_end.filament_mm * f.filament_area_mm2)},
            {"primes_mm3", number(f.prime_mm3 + f.refill_mm3)},
            {"block_mm3", number(f.block_mm3)},
            {"around_swaps_mm3", number(f.swap_lines_mm3)},
            {"off_beads_mm3", number(f.restart_mm3)}};
}

/// In all, and by set-point: those of zones and parts stand there.
Json travel(const grade::Figures& f) {
    Json entry = Json::object();
    add_open_air(entry, f.open_air.all);
    entry["retractions_before"] = f.retractions_before;
    entry["retractions_after"] = f.retractions_after();
    Json list = Json::array();
    for (const auto& [celsius, air] : f.open_air.temperatures) {
        Json of = {{"temperature_c", celsius > 0 ? number(celsius) : Json(nullptr)}};
        add_open_air(of, air);
        list.push_back(std::move(of));
    }
    entry["by_temperature"] = std::move(list);
    return entry;
}

Json parts(const grade::Figures& f) {
    Json list = Json::array();
    for (std::size_t i = 0; i < f.parts.size(); ++i) {
        const grade::PartFigures& part = f.parts[i];
        Json entry = {{"index", i},
                      {"x_mm", number(part.x_mm)},
                      {"y_mm", number(part.y_mm)},
                      {"turn_deg", number(part.turn_deg)},
                      {"mass_g", number(part.mass_g)},
                      {"cost", number(part.cost)},
                      {"kind", part.kind}};
        add_open_air(entry, found(f.open_air.parts, static_cast<int>(i)));
        list.push_back(std::move(entry));
    }
    return list;
}

/// What a twentieth, half and all but a twentieth of the volume stay below.
template <typename Of>
Json spread(const grade::FlowSpread& flow, Of of) {
    if (flow.empty()) return nullptr;
    const double a = of(flow.at(0.05)), b = of(flow.at(0.95));
    return {{"low", number(std::min(a, b))},
            {"median", number(of(flow.at(0.5)))},
            {"high", number(std::max(a, b))}};
}

Json thinnest_at(const grade::ZoneFigures& zone) {
    if (!zone.thinnest) return nullptr;
    return {{"part", zone.thinnest->part},
            {"x_mm", number(zone.thinnest->at.x)},
            {"y_mm", number(zone.thinnest->at.y)},
            {"z_mm", number(zone.thinnest->at.z)},
            {"area_mm2", number(zone.thinnest->area_mm2)}};
}

/// A zone of the plan, or what else beads belong to. Without `air`: none is known of it.
Json zone(const grade::ZoneFigures& zone, std::string_view kind, const grade::OpenAirFigures& air) {
    Json entry = {{"name", zone.name}, {"kind", kind}};
    entry["tool"] = zone.tool < 0 ? Json(nullptr) : Json(zone.tool);
    entry["temperature_c"] = zone.temperature_c > 0 ? number(zone.temperature_c) : Json(nullptr);
    entry["length_mm"] = number(zone.length_mm);
    entry["volume_mm3"] = number(zone.volume_mm3);
    entry["filament_mm"] = number(zone.filament_mm);
    entry["mass_g"] = number(zone.mass_g);
    entry["hardness_shore_a"] = measured(zone.hardness_shore_a);
    entry["asked_shore_a"] = zone.asked_shore_a ? number(*zone.asked_shore_a) : Json(nullptr);
    entry["card"] = card(zone.card);
    entry["thinnest_mm"] = zone.thinnest ? number(zone.thinnest->mm) : Json(nullptr);
    entry["thinnest_at"] = thinnest_at(zone);
    entry["printing_s"] = number(zone.printing_s);
    entry["flow_mm3_s"] = spread(zone.flow, [](double flow) { return flow; });
    entry["residence_s"] =
        zone.melt_mm3 > 0 ? spread(zone.flow, [&](double flow) { return zone.melt_mm3 / flow; })
                          : Json(nullptr);
    add_open_air(entry, air);
    return entry;
}

/// Those of the plan in its order, then what lies outside the parts, and what stands as it is.
Json zones(const grade::Figures& f) {
    Json list = Json::array();
    if (f.nothing_asked) return list;
    for (std::size_t i = 0; i < f.zones.size(); ++i)
        list.push_back(zone(f.zones[i], "zone", found(f.open_air.zones, static_cast<int>(i))));
    list.push_back(zone(f.outside, "outside", found(f.open_air.zones, region::no_zone)));
    list.push_back(zone(f.start_and_end, "start and end", {}));
    return list;
}

Json barriers(const grade::Figures& f) {
    Json list = Json::array();
    for (const grade::BarrierFigures& barrier : f.barriers) {
        list.push_back(
            {{"command", barrier.command}, {"times", barrier.times}, {"swaps", barrier.swaps}});
    }
    return list;
}

Json layer_times(const grade::Figures& f) {
    Json list = Json::array();
    for (const grade::LayerFigures& layer : f.layer_list) {
        list.push_back({{"layer", layer.layer},
                        {"z_mm", number(layer.z_mm)},
                        {"time_s", number(layer.time_s)},
                        {"swaps", layer.swaps}});
    }
    return list;
}

Json tools(const grade::Figures& f) {
    Json list = Json::array();
    for (const auto& [index, tool] : f.tools) {
        list.push_back({{"number", index},
                        {"visits", tool.visits},
                        {"printing_s", number(tool.printing_s)},
                        {"idle_s", number(tool.idle_s)},
                        {"standby_s", number(tool.standby_s)},
                        {"off_s", number(tool.off_s)},
                        {"wait_s", number(tool.wait_s)},
                        {"filament_mm", number(tool.filament_mm)},
                        {"retractions", tool.retractions},
                        {"retracted_mm", number(tool.retracted_mm)},
                        {"retractions_of_a_stretch", tool.most_of_a_stretch}});
    }
    return list;
}

/// A hundredth of a second and of a degree are more than any model tells.
Json rounded(double value) {
    return std::round(value * 100) / 100;
}

Json heat(const grade::Figures& f) {
    Json list = Json::array();
    for (const auto& [index, tool] : f.tools) {
        if (tool.heat.empty()) continue;
        Json points = Json::array();
        for (const heat::HeatPoint& point : tool.heat) {
            points.push_back({{"time_s", rounded(point.time_s)},
                              {"set_point_c", rounded(point.set_point_c)},
                              {"temperature_c", rounded(point.temperature_c)}});
        }
        list.push_back(
            {{"number", index}, {"thinned", tool.heat_is_thinned}, {"points", std::move(points)}});
    }
    return {{"scheduled", f.schedules_heat}, {"tools", std::move(list)}};
}

Json checks(const check::Verdict& verdict) {
    Json list = Json::array();
    for (const check::Finding& finding : verdict.findings) {
        list.push_back({{"name", finding.name},
                        {"held", finding.held},
                        {"worst", number(finding.worst)},
                        {"limit", finding.limit ? number(*finding.limit) : Json(nullptr)},
                        {"unit", finding.unit}});
    }
    return list;
}

Json warnings(const grade::Figures& f) {
    Json list = Json::array();
    for (const Diagnostic& warning : f.warnings) {
        list.push_back(
            {{"code", warning.code}, {"text", warning.text}, {"line", warning.place.line}});
    }
    return list;
}

}  // namespace

std::string json(const grade::Figures& f, const check::Verdict& verdict) {
    Json report;
    report["format"] = 1;
    report["program"] = "durograde " + std::string(version);
    report["plan"] = f.plan_name;
    report["input"] = {{"name", f.input_name}, {"bytes", f.input_bytes}, {"lines", f.input_lines}};
    report["output"] = {{"name", f.output_name},
                        {"bytes", f.output_bytes},
                        {"lines", f.output_lines},
                        {"released", f.released}};
    report["layers"] = f.layers;
    report["parts"] = parts(f);
    report["zones"] = zones(f);
    report["tools"] = tools(f);
    report["time"] = {{"before_s", number(f.before_s)},
                      {"after_s", number(f.after_s)},
                      {"printing_s", number(f.printing_s)},
                      {"travel_s", number(f.travel_s)},
                      {"swaps_s", number(f.swaps_s)},
                      {"waiting_s", number(f.waiting_s)},
                      {"priming_s", number(f.priming_s)},
                      {"start_and_end_s", number(f.start_and_end.printing_s)},
                      {"block_s", number(f.block.printing_s)}};
    report["layer_times"] = layer_times(f);
    report["heat"] = heat(f);
    report["material"] = Json::object({{"mass_g", number(f.mass_g())}, {"cost", number(f.cost())}});
    report["waste"] = {
        {"prime_mm3", number(f.prime_mm3)},   {"block_mm3", number(f.block_mm3)},
        {"ooze_mm3", number(f.ooze_mm3)},     {"restart_mm3", number(f.restart_mm3)},
        {"refill_mm3", number(f.refill_mm3)}, {"swap_lines_mm3", number(f.swap_lines_mm3)},
        {"mass_g", number(f.waste_mass_g)},   {"cost", number(f.waste_cost)}};
    report["filament"] = filament(f);
    report["travel"] = travel(f);
    report["gradient"] = gradient(f.gradient);
    report["prediction"] = prediction(f.prediction);
    report["cost"] = cost(f.cost_of_sheet);
    report["swaps"] = {{"count", f.swaps},
                       {"fewest_possible", f.fewest_swaps},
                       {"fewest_as_parted", f.fewest_swaps_parted},
                       {"barriers", barriers(f)},
                       {"temperature_changes", f.temperature_changes}};
    report["edits"] = {{"copied", f.edits.copied},
                       {"rewritten", reasons(f.edits.rewritten)},
                       {"inserted", reasons(f.edits.inserted)},
                       {"removed", reasons(f.edits.removed)}};
    report["checks"] = checks(verdict);
    report["warnings"] = warnings(f);
    return report.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace durograde::report
