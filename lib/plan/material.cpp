#include <cmath>
#include <optional>
#include <vector>

#include "plan/card.hpp"
#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

constexpr Bounds densities{0.0, 25.0, false};

MaterialSpread read_spread(TableReader& point) {
    auto table = point.inner("spread", "spread in [[material.point]]");
    if (!table) return {};
    MaterialSpread spread;
    spread.flow = table->number("flow", 0.0, {0.0, 10.0});
    spread.density_g_cm3 = table->number("density", 0.0, {0.0, 25.0});
    spread.hardness_shore_a = table->number("hardness", 0.0, {0.0, 100.0});
    spread.ooze_mm3 = table->number("ooze", 0.0, not_negative);
    spread.max_flow_mm3_s = table->number("max_flow", 0.0, not_negative);
    table->finish();
    return spread;
}

ReadPoint read_point(TableReader& table) {
    MaterialPoint point;
    point.temperature_c =
        table.needed_number("temperature", temperature_bounds, "temperature = 190, in °C");
    point.flow = table.number("flow", point.flow, {0.0, 10.0, false});
    point.density_g_cm3 = table.number("density", 0.0, densities);
    point.hardness_shore_a = table.number("hardness", 0.0, {0.0, 100.0, false});
    point.ooze_mm3 = table.number("ooze", 0.0, not_negative);
    point.max_flow_mm3_s = table.number("max_flow", 0.0, flows);
    point.spread = read_spread(table);
    table.finish();
    return {point, &table.table()};
}

std::vector<MaterialPoint> read_points(TableReader& material, double filament_g_cm3) {
    std::vector<ReadPoint> points;
    for (TableReader& table : material.list("point", "[[material.point]]", 256))
        points.push_back(read_point(table));
    // A point without a temperature is reported already and would not sort.
    std::erase_if(points, [](const ReadPoint& read) { return !(read.point.temperature_c > 0.0); });
    judge_card(points, filament_g_cm3, material.findings());
    std::vector<MaterialPoint> sorted;
    sorted.reserve(points.size());
    for (const ReadPoint& read : points) sorted.push_back(read.point);
    return sorted;
}

}  // namespace

std::optional<Material> read_material(TableReader& plan) {
    auto table = plan.inner("material", "[material]");
    if (!table) return std::nullopt;
    Material material;
    material.name = table->text("name", "");
    material.price_per_kg = table->number("price", 0.0, not_negative);
    material.density_g_cm3 = table->optional_number("density", densities);
    material.points = read_points(*table, material.density_g_cm3.value_or(0.0));
    const Value* const points =
        table->need("point", "two or more [[material.point]] with `temperature` and `flow`");
    if (points != nullptr && points->kind == Kind::list && points->items.size() < 2)
        table->findings().error("missing-key", points->spot,
                                "[material] has fewer than two [[material.point]]",
                                "measure at one more temperature; between points is interpolated");
    table->finish();
    return material;
}

}  // namespace durograde::plan
