#include "plan/travel.hpp"

#include <cmath>
#include <string>

namespace durograde::plan {
namespace {

constexpr std::string_view tool_owner = "[[tool]]";

constexpr double longest_retraction_mm = 15.0;  // common practice, no source

std::optional<Retract> read_retract(TableReader& owner, std::string_view name,
                                    const std::optional<Retract>& base) {
    auto table = owner.inner("retract", "retract in " + std::string(name));
    if (!table) return base;
    Retract retract = base.value_or(Retract{});
    retract.length_mm = table->number("length", retract.length_mm, {0.0, 1000.0, false});
    if (retract.length_mm > longest_retraction_mm)
        table->findings().warning("long-retraction", table->find("length")->spot,
                                  table->label("length") + " is " + shown(retract.length_mm) +
                                      " mm: so much hot filament may clog the cold end",
                                  "check the unit; 0.5 to 8 mm are usual");
    retract.speed_mm_s = table->number("speed", retract.speed_mm_s, positive);
    retract.restart_mm = table->number("restart", retract.restart_mm, {0.0, 1000.0});
    retract.restart_speed_mm_s =
        table->number("restart_speed", retract.restart_speed_mm_s, positive);
    // The filament is worn by the tool, whatever zones it prints.
    if (name == tool_owner)
        retract.repeats = std::lround(
            table->number("repeats", static_cast<double>(retract.repeats), {1.0, 10000.0}));
    table->finish();
    return retract;
}

std::optional<Wipe> read_wipe(TableReader& owner, std::string_view name,
                              const std::optional<Wipe>& base) {
    auto table = owner.inner("wipe", "wipe in " + std::string(name));
    if (!table) return base;
    Wipe wipe = base.value_or(Wipe{});
    wipe.length_mm = table->number("length", wipe.length_mm, {0.0, 1000.0, false});
    wipe.speed_mm_s = table->number("speed", wipe.speed_mm_s, positive);
    wipe.retract_share = table->number("retract_share", wipe.retract_share, fraction);
    table->finish();
    return wipe;
}

/// Nothing where it is 0.
std::optional<double> read_some(TableReader& owner, std::string_view key,
                                const std::optional<double>& base) {
    const std::optional<double> given = owner.optional_number(key, {0.0, 100.0});
    if (!given) return base;
    return *given > 0 ? given : std::nullopt;
}

}  // namespace

Travel read_travel(TableReader& table, std::string_view owner, const Travel& base) {
    Travel travel;
    travel.retract = read_retract(table, owner, base.retract);
    travel.wipe = read_wipe(table, owner, base.wipe);
    travel.coast_mm3 = read_some(table, "coast", base.coast_mm3);
    travel.hop_mm = read_some(table, "hop", base.hop_mm);
    const auto speed = table.optional_number("travel_speed", positive);
    travel.speed_mm_s = speed ? speed : base.speed_mm_s;
    const bool asks = table.find("coast") != nullptr || table.find("wipe") != nullptr;
    if (asks && !travel.retract &&
        (travel.coast_mm3 || (travel.wipe && travel.wipe->retract_share > 0)))
        table.findings().warning(
            "no-retract", table.table().spot,
            "`coast` and the `retract_share` of a wipe do nothing without `retract`",
            "add retract = { length = 1.2, speed = 35 }");
    return travel;
}

std::string_view travel_key(TableReader& table) {
    for (const std::string_view key : {"retract", "wipe", "coast", "hop", "travel_speed"})
        if (table.find(key) != nullptr) return key;
    return "";
}

std::string_view differing_key(const Travel& a, const Travel& b) {
    if (a.retract != b.retract) return "retract";
    if (a.wipe != b.wipe) return "wipe";
    if (a.coast_mm3 != b.coast_mm3) return "coast";
    if (a.hop_mm != b.hop_mm) return "hop";
    return a.speed_mm_s != b.speed_mm_s ? "travel_speed" : "";
}

}  // namespace durograde::plan
