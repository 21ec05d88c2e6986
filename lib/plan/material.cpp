#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>
#include <utility>

#include "plan/sections.hpp"

namespace durograde::plan {
namespace {

struct ReadPoint {
    MaterialPoint point;
    const Value* table = nullptr;
};

ReadPoint read_point(TableReader& table) {
    MaterialPoint point;
    point.temperature_c =
        table.needed_number("temperature", temperature_bounds, "temperature = 190, in °C");
    point.flow = table.number("flow", point.flow, {0.0, 10.0, false});
    point.density_g_cm3 = table.number("density", 0.0, {0.0, 25.0, false});
    point.hardness_shore_a = table.number("hardness", 0.0, {0.0, 100.0, false});
    point.ooze_mm3 = table.number("ooze", 0.0, not_negative);
    table.finish();
    return {point, &table.table()};
}

/// A value measured at some points only leaves nothing to interpolate at the others.
void check_complete(const std::vector<ReadPoint>& points, Findings& findings) {
    constexpr std::array<std::string_view, 4> measured = {"flow", "density", "hardness", "ooze"};
    for (const std::string_view key : measured) {
        const auto has = [key](const ReadPoint& read) {
            return find_entry(*read.table, key) != nullptr;
        };
        if (std::none_of(points.begin(), points.end(), has)) continue;
        const auto lacking = std::find_if_not(points.begin(), points.end(), has);
        if (lacking == points.end()) continue;
        findings.error(
            "incomplete-points", lacking->table->spot,
            "this [[material.point]] lacks `" + std::string(key) + "`, which others have",
            "give it at every point, or at none");
    }
}

void check_distinct(const std::vector<ReadPoint>& sorted, Findings& findings) {
    for (std::size_t i = 1; i < sorted.size(); ++i) {
        if (sorted[i - 1].point.temperature_c != sorted[i].point.temperature_c) continue;
        findings.error("duplicate", sorted[i].table->spot,
                       "two points are at " + shown(sorted[i].point.temperature_c) +
                           " °C, the other at " + findings.reference(sorted[i - 1].table->spot),
                       "keep one, or the mean of both");
    }
}

/// Foaming takes less filament for the same bead, and leaves it lighter, the hotter it is; both by
/// the same share, for the bead keeps its size and its mass is that of the filament.
void check_foaming(const std::vector<ReadPoint>& sorted, Findings& findings) {
    constexpr double slip = 0.03, most_apart = 0.2;  // what measuring errs by
    for (std::size_t i = 1; i < sorted.size(); ++i) {
        const MaterialPoint& before = sorted[i - 1].point;
        const MaterialPoint& point = sorted[i].point;
        const MaterialPoint& first = sorted.front().point;
        const Spot& spot = sorted[i].table->spot;
        const bool is_dense = point.density_g_cm3 > 0 && first.density_g_cm3 > 0;
        if (point.flow > before.flow * (1 + slip) ||
            (is_dense && point.density_g_cm3 > before.density_g_cm3 * (1 + slip))) {
            findings.warning("foams-backwards", spot,
                             "flow or density is higher than at the colder point before",
                             "measure it again: hotter, the material foams more");
            continue;
        }
        if (!is_dense) continue;
        const double denser = point.density_g_cm3 / first.density_g_cm3,
                     fed = point.flow / first.flow;
        if (std::abs(denser / fed - 1) <= most_apart) continue;
        findings.warning("flow-against-density", spot,
                         "flow is " + shown(std::round(100 * fed)) +
                             " % of that of the coldest point, "
                             "density " +
                             shown(std::round(100 * denser)) + " %: they fall by the same share",
                         "measure both again at this temperature");
    }
}

std::vector<MaterialPoint> read_points(TableReader& material) {
    std::vector<ReadPoint> points;
    Findings& findings = material.findings();
    for (TableReader& table : material.list("point", "[[material.point]]", 256))
        points.push_back(read_point(table));
    // A point without a temperature is reported already and would not sort.
    std::erase_if(points, [](const ReadPoint& read) { return !(read.point.temperature_c > 0.0); });
    check_complete(points, findings);
    std::stable_sort(points.begin(), points.end(), [](const ReadPoint& a, const ReadPoint& b) {
        return a.point.temperature_c < b.point.temperature_c;
    });
    check_distinct(points, findings);
    check_foaming(points, findings);
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
    material.points = read_points(*table);
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
