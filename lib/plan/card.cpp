#include "plan/card.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>

#include "plan/keys.hpp"
#include "plan/material_curve.hpp"

namespace durograde::plan {
namespace {

constexpr std::array<std::string_view, 5> measured = {"flow", "density", "hardness", "ooze",
                                                      "max_flow"};

const Value* inner_value(const Value& table, std::string_view key, std::string_view inner) {
    const Entry* const entry = find_entry(table, key);
    if (entry == nullptr || entry->value.kind != Kind::table) return nullptr;
    const Entry* const found = find_entry(entry->value, inner);
    return found == nullptr ? nullptr : &found->value;
}

/// A value measured at some points only leaves nothing to interpolate at the others.
template <typename Has>
void check_complete(const std::vector<ReadPoint>& points, const std::string& key, const Has& has,
                    Findings& findings) {
    if (std::none_of(points.begin(), points.end(), has)) return;
    const auto lacking = std::find_if_not(points.begin(), points.end(), has);
    if (lacking == points.end()) return;
    findings.error("incomplete-points", lacking->table->spot,
                   "this [[material.point]] lacks `" + key + "`, which others have",
                   "give it at every point, or at none");
}

void check_complete(const std::vector<ReadPoint>& points, Findings& findings) {
    for (const std::string_view key : measured) {
        const auto has = [key](const ReadPoint& read) {
            return find_entry(*read.table, key) != nullptr;
        };
        const auto has_spread = [key](const ReadPoint& read) {
            return inner_value(*read.table, "spread", key) != nullptr;
        };
        check_complete(points, std::string(key), has, findings);
        check_complete(points, "spread." + std::string(key), has_spread, findings);
        for (const ReadPoint& read : points) {
            if (!has_spread(read) || has(read)) continue;
            findings.error("contradiction", inner_value(*read.table, "spread", key)->spot,
                           "`spread` has `" + std::string(key) + "`, which this point lacks",
                           "give the value itself as well, or take its spread out");
        }
    }
}

void check_order(const std::vector<ReadPoint>& points, Findings& findings) {
    for (std::size_t i = 1; i < points.size(); ++i) {
        if (points[i].point.temperature_c >= points[i - 1].point.temperature_c) continue;
        return findings.warning("unordered", points[i].table->spot,
                                "this point, at " + shown(points[i].point.temperature_c) +
                                    " °C, stands behind one at " +
                                    shown(points[i - 1].point.temperature_c) + " °C",
                                "check its temperature; points are read by rising temperature");
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

/// What the bead weighs is what went in: density of bead · bead volume = flow · density of filament
/// · bead volume. `solid` is the density of the filament that makes it so.
double solid_g_cm3(const MaterialPoint& point) {
    return point.density_g_cm3 / point.flow;
}

/// By how much that is not sure, as a share: one standard deviation.
double spread_of_solid(const MaterialPoint& point) {
    return std::hypot(point.spread.density_g_cm3 / point.density_g_cm3,
                      point.spread.flow / point.flow);
}

void check_mass(const MaterialPoint& point, const MaterialPoint& first, double filament_g_cm3,
                const Spot& spot, Findings& findings) {
    constexpr double usual_share = 0.03;  // what measuring errs by where the plan does not say
    const bool is_given = filament_g_cm3 > 0;
    const double solid = is_given ? filament_g_cm3 : solid_g_cm3(first);
    double spread = spread_of_solid(point);
    if (!is_given) spread = std::hypot(spread, spread_of_solid(first));
    const double allowed = spread > 0 ? spread : usual_share;
    const double off = solid_g_cm3(point) / solid - 1;
    if (std::abs(off) <= allowed) return;
    const auto percent = [](double share) { return shown(std::round(1000 * share) / 10) + " %"; };
    findings.warning("flow-against-density", spot,
                     "flow " + shown(point.flow) + " of filament of " +
                         shown(std::round(solid * 1e4) / 1e4) + " g/cm³" +
                         (is_given ? "" : ", as the coldest point has it,") + " makes beads of " +
                         shown(std::round(point.flow * solid * 1e4) / 1e4) + " g/cm³, and " +
                         shown(point.density_g_cm3) + " are given: " + percent(std::abs(off)) +
                         (off > 0 ? " more" : " less") + ", " + percent(allowed) + " are allowed",
                     "measure both again at this temperature: what goes in comes out");
}

/// Foaming takes less filament for the same bead, and leaves it lighter, the hotter it is.
void check_foaming(const std::vector<ReadPoint>& sorted, double filament_g_cm3,
                   Findings& findings) {
    constexpr double slip = 0.03;  // what measuring errs by
    for (std::size_t i = 0; i < sorted.size(); ++i) {
        const MaterialPoint& point = sorted[i].point;
        const MaterialPoint& first = sorted.front().point;
        const MaterialPoint& before = sorted[i == 0 ? 0 : i - 1].point;
        const Spot& spot = sorted[i].table->spot;
        const bool is_dense = point.density_g_cm3 > 0 && first.density_g_cm3 > 0;
        if (point.flow > before.flow * (1 + slip) ||
            (is_dense && point.density_g_cm3 > before.density_g_cm3 * (1 + slip))) {
            findings.warning("foams-backwards", spot,
                             "flow or density is higher than at the colder point before",
                             "measure it again: hotter, the material foams more");
        } else if (is_dense) {
            check_mass(point, first, filament_g_cm3, spot, findings);
        }
    }
}

void check_hardness(const std::vector<ReadPoint>& sorted, Findings& findings) {
    std::vector<MaterialPoint> points;
    for (const ReadPoint& read : sorted) {
        if (!(read.point.hardness_shore_a > 0)) return;
        points.push_back(read.point);
    }
    if (!make_a_curve(points)) return;
    const auto twice = find_twice_hard(points);
    if (!twice) return;
    const auto tenth = [](double value) { return shown(std::round(10 * value) / 10); };
    findings.warning("twice-as-hard", sorted.front().table->spot,
                     "the material has Shore A " + tenth(twice->hardness_shore_a) + " at " +
                         tenth(twice->colder_c) + " °C and at " + tenth(twice->hotter_c) +
                         " °C: no zone can ask for a hardness",
                     "measure again: hotter, a foaming filament comes out softer");
}

}  // namespace

bool make_a_curve(const std::vector<MaterialPoint>& points) {
    const auto falls = [](const MaterialPoint& a, const MaterialPoint& b) {
        return !(a.temperature_c < b.temperature_c);
    };
    return points.size() >= 2 &&
           std::adjacent_find(points.begin(), points.end(), falls) == points.end();
}

/// Where the hardness turns, or stays, at point i, the nearer of its neighbours' values is met on
/// both sides of it.
std::optional<TwiceHard> find_twice_hard(const std::vector<MaterialPoint>& points) {
    const Curve curve(points);
    const auto hardness = [&](double celsius) { return curve.hardness_shore_a(celsius); };
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double a = points[i - 1].hardness_shore_a, b = points[i].hardness_shore_a;
        if (a == b) return TwiceHard{a, points[i - 1].temperature_c, points[i].temperature_c};
        if (i + 1 == points.size()) break;
        const double c = points[i + 1].hardness_shore_a;
        if ((a < b) == (b < c) && b != c) continue;
        if (b == c) return TwiceHard{b, points[i].temperature_c, points[i + 1].temperature_c};
        const double level = std::abs(a - b) < std::abs(c - b) ? a : c;
        const auto before =
            inverse(hardness, points[i - 1].temperature_c, points[i].temperature_c, level);
        const auto after =
            inverse(hardness, points[i].temperature_c, points[i + 1].temperature_c, level);
        return TwiceHard{level, before.value_or(points[i - 1].temperature_c),
                         after.value_or(points[i + 1].temperature_c)};
    }
    return std::nullopt;
}

void judge_card(std::vector<ReadPoint>& points, double filament_density_g_cm3, Findings& findings) {
    check_complete(points, findings);
    check_order(points, findings);
    std::stable_sort(points.begin(), points.end(), [](const ReadPoint& a, const ReadPoint& b) {
        return a.point.temperature_c < b.point.temperature_c;
    });
    check_distinct(points, findings);
    check_foaming(points, filament_density_g_cm3, findings);
    check_hardness(points, findings);
}

}  // namespace durograde::plan
