#include "grade/shape_place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

namespace durograde::grade {
namespace {

constexpr std::size_t axes = 3;

/// A box along the axes, mm.
struct Extent {
    plan::Vec3 low = {1e30, 1e30, 1e30}, high = {-1e30, -1e30, -1e30};

    void add(const plan::Vec3& point, double around = 0.0) {
        for (std::size_t i = 0; i < axes; ++i) {
            low[i] = std::min(low[i], point[i] - around);
            high[i] = std::max(high[i], point[i] + around);
        }
    }
    [[nodiscard]] bool is_empty() const { return low[0] > high[0]; }
    [[nodiscard]] double size(std::size_t i) const { return high[i] - low[i]; }
    [[nodiscard]] double middle(std::size_t i) const { return (low[i] + high[i]) / 2; }
    [[nodiscard]] double largest() const { return std::max({size(0), size(1), size(2)}); }
    [[nodiscard]] Extent scaled(double factor) const {
        Extent scaled = *this;
        for (std::size_t i = 0; i < axes; ++i) {
            scaled.low[i] *= factor;
            scaled.high[i] *= factor;
        }
        return scaled;
    }
    [[nodiscard]] bool meets(const Extent& other) const {
        for (std::size_t i = 0; i < axes; ++i)
            if (low[i] > other.high[i] || high[i] < other.low[i]) return false;
        return true;
    }
};

std::string text_of(const Extent& extent) {
    return fmt::format("x {:.4g} to {:.4g}, y {:.4g} to {:.4g}, z {:.4g} to {:.4g}", extent.low[0],
                       extent.high[0], extent.low[1], extent.high[1], extent.low[2],
                       extent.high[2]);
}

/// Nothing where the shape has no end, such as a plane.
struct ExtentOf {
    Extent operator()(const plan::Sphere& sphere) const {
        Extent extent;
        extent.add(sphere.center, sphere.radius);
        return extent;
    }
    Extent operator()(const plan::Box& box) const {
        Extent extent;
        for (const double side : {-0.5, 0.5}) {
            plan::Vec3 corner = box.center;
            for (std::size_t i = 0; i < axes; ++i) corner[i] += side * box.size[i];
            extent.add(corner);
        }
        return extent;
    }
    template <typename Round>  // capsule or cylinder
    Extent round(const Round& shape, double radius) const {
        Extent extent;
        extent.add(shape.from, radius);
        extent.add(shape.to, radius);
        return extent;
    }
    Extent operator()(const plan::Capsule& capsule) const { return round(capsule, capsule.radius); }
    Extent operator()(const plan::Cylinder& one) const { return round(one, one.radius); }
    Extent operator()(const plan::Cone& cone) const {
        return round(cone, std::max(cone.radius[0], cone.radius[1]));
    }
    Extent operator()(const plan::Plane&) const { return {}; }
    Extent operator()(const plan::Mesh& mesh) const {
        Extent extent;
        for (const auto& point : mesh.triangles->points) extent.add(point);
        return extent;
    }
};

/// The first part's, from its island, in its own coordinates.
std::optional<Extent> extent_of_part(const Survey& survey) {
    for (std::size_t i = 0; i < survey.footprint->islands().size(); ++i) {
        if (survey.footprint->part_of(static_cast<int>(i)) != 0) continue;
        const region::Island& island = survey.footprint->islands()[i];
        const plan::PartPlace& place = survey.places.front();
        const double turn_rad = -place.turn_deg * std::numbers::pi / 180;
        Extent extent;
        for (const double x : {island.min_x, island.max_x}) {
            for (const double y : {island.min_y, island.max_y}) {
                const double dx = x - place.x_mm, dy = y - place.y_mm;
                extent.add({dx * std::cos(turn_rad) - dy * std::sin(turn_rad),
                            dx * std::sin(turn_rad) + dy * std::cos(turn_rad), 0.0});
            }
        }
        extent.low[2] = 0.0;
        extent.high[2] = survey.high_z;
        return extent;
    }
    return std::nullopt;
}

/// Factors between units of length: inches, cm and m taken for mm, and the other way round.
constexpr std::array factors = {25.4, 10.0, 1000.0, 1 / 25.4, 0.1, 0.001};

/// What makes the shape as large as a core of the part is: half as large as the part, about.
double fitting_factor(const Extent& shape, const Extent& part) {
    const auto misfit = [&](double factor) {
        return std::abs(std::log(shape.largest() * factor / (0.5 * part.largest())));
    };
    const bool is_odd =
        shape.largest() < 0.1 * part.largest() || shape.largest() > 1.5 * part.largest();
    if (!is_odd) return 1.0;
    const double best = *std::min_element(
        factors.begin(), factors.end(), [&](double a, double b) { return misfit(a) < misfit(b); });
    return misfit(best) < misfit(1.0) ? best : 1.0;
}

std::string mend_of(const plan::Shape& shape, const Extent& extent, const Extent& part) {
    if (!std::holds_alternative<plan::Mesh>(shape.form))
        return fmt::format("move shape `{}` into the part: shapes are in the part's coordinates",
                           shape.name);
    const double factor = fitting_factor(extent, part);
    const Extent scaled = extent.scaled(factor);
    std::string mend;
    if (factor != 1.0) mend = fmt::format("`scale` {:g} times as large", factor);
    if (!scaled.meets(part)) {
        mend += fmt::format("{}`move` by [{:.4g}, {:.4g}, {:.4g}] more", mend.empty() ? "" : ", ",
                            part.middle(0) - scaled.middle(0), part.middle(1) - scaled.middle(1),
                            part.middle(2) - scaled.middle(2));
    }
    if (mend.empty()) return mend;
    return fmt::format("give mesh `{}` {}: then it lies in the part", shape.name, mend);
}

}  // namespace

ShapePlace place_of_shapes(const plan::Plan& plan, const plan::Zone& zone, const Survey& survey) {
    const std::optional<Extent> part = extent_of_part(survey);
    ShapePlace place;
    for (const grammar::Step& step : zone.where.steps) {
        if (!part || step.op != grammar::Op::distance) continue;
        const auto shape = std::find_if(plan.shapes.begin(), plan.shapes.end(),
                                        [&](const auto& one) { return one.name == step.name; });
        if (shape == plan.shapes.end()) continue;
        const Extent extent = std::visit(ExtentOf{}, shape->form);
        if (extent.is_empty()) continue;
        const bool is_far = !extent.meets(*part);
        const bool is_mesh = std::holds_alternative<plan::Mesh>(shape->form);
        if (!is_far && !(is_mesh && fitting_factor(extent, *part) != 1.0)) continue;
        place.text = fmt::format(": shape `{}` lies at {}, the part at {}", shape->name,
                                 text_of(extent), text_of(*part));
        place.mend = mend_of(*shape, extent, *part);
        return place;
    }
    return place;
}

}  // namespace durograde::grade
