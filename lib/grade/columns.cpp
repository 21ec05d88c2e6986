#include "grade/columns.hpp"

#include <algorithm>
#include <cmath>

#include "grade/elasticity.hpp"
#include "region/zones.hpp"

namespace durograde::grade {
namespace {

using region::PartModel;

/// Moduli of cells.
class Moduli {
  public:
    Moduli(const PartModel& model, const std::vector<ZoneModulus>& zones,
           const plan::Range& exponent)
        : model_(model), zones_(zones), exponent_(exponent) {}

    [[nodiscard]] bool are_known() const {
        return std::all_of(
            model_.layers.begin(), model_.layers.end(), [&](const PartModel::Layer& layer) {
                return std::all_of(layer.zones.begin(), layer.zones.end(), [&](std::int16_t zone) {
                    return zone == region::no_zone ||
                           zones_[static_cast<std::size_t>(zone)].high > 0;
                });
            });
    }

    /// 0 in a gap.
    [[nodiscard]] Band at(const PartModel::Layer& layer, std::size_t cell) const {
        const std::int16_t zone = layer.zones[cell];
        if (zone == region::no_zone) return {};
        const ZoneModulus& of = zones_[static_cast<std::size_t>(zone)];
        const auto fill = static_cast<double>(layer.fill[cell]);
        return {filled_mpa(of.low, fill, exponent_.high), filled_mpa(of.high, fill, exponent_.low)};
    }

  private:
    const PartModel& model_;
    const std::vector<ZoneModulus>& zones_;
    const plan::Range& exponent_;
};

/// One column, stretch by stretch.
class Column {
  public:
    void add(double length_mm, const Band& mpa) {
        if (mpa.low > 0) {
            give_mm_mpa_ += length_mm / mpa.low;
        } else {
            has_gap_ = true;
        }
        stiff_mm_mpa_ += length_mm * mpa.high;
    }
    /// N/mm of `area_mm2`, over the whole length.
    [[nodiscard]] Band stiffness(double area_mm2, double length_mm) const {
        const double series = has_gap_ || !(give_mm_mpa_ > 0) ? 0.0 : area_mm2 / give_mm_mpa_;
        return {series, area_mm2 * stiff_mm_mpa_ / (length_mm * length_mm)};
    }

  private:
    double give_mm_mpa_ = 0.0, stiff_mm_mpa_ = 0.0;
    bool has_gap_ = false;
};

void add(Band& sum, const Band& more) {
    sum.low += more.low;
    sum.high += more.high;
}

/// The cell and the layer at a place; outside there is a gap.
class Places {
  public:
    Places(const PartModel& model, const Moduli& moduli) : model_(model), moduli_(moduli) {}

    [[nodiscard]] Band at(const plan::Vec3& place) const {
        const region::Grid& grid = model_.grid;
        const double column = std::round((place[0] - grid.low_x_mm) / grid.cell_mm);
        const double row = std::round((place[1] - grid.low_y_mm) / grid.cell_mm);
        if (column < 0 || row < 0 || column >= static_cast<double>(grid.columns) ||
            row >= static_cast<double>(grid.rows))
            return {};
        const auto layer = std::upper_bound(
            model_.layers.begin(), model_.layers.end(), place[2],
            [](double z_mm, const PartModel::Layer& one) { return z_mm < one.top_mm; });
        if (layer == model_.layers.end() || place[2] < layer->bottom_mm) return {};
        return moduli_.at(*layer, static_cast<std::size_t>(row) * grid.columns +
                                      static_cast<std::size_t>(column));
    }

  private:
    const PartModel& model_;
    const Moduli& moduli_;
};

double dot(const plan::Vec3& a, const plan::Vec3& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

plan::Vec3 cross(const plan::Vec3& a, const plan::Vec3& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

/// From where to where the part reaches along a direction.
struct Reach {
    double low = 1e30, high = -1e30;
};

/// Of all cells, each with its half of a diagonal.
Reach reach_of(const PartModel& model, const plan::Vec3& along) {
    Reach reach;
    const region::Grid& grid = model.grid;
    for (const PartModel::Layer& layer : model.layers) {
        const double half = grid.cell_mm / 2 * (std::abs(along[0]) + std::abs(along[1])) +
                            layer.height_mm() / 2 * std::abs(along[2]);
        for (std::size_t cell = 0; cell < grid.size(); ++cell) {
            if (layer.zones[cell] == region::no_zone) continue;
            const plan::Vec3 middle = {grid.x_mm(cell % grid.columns),
                                       grid.y_mm(cell / grid.columns),
                                       (layer.bottom_mm + layer.top_mm) / 2};
            const double at = dot(middle, along);
            reach.low = std::min(reach.low, at - half);
            reach.high = std::max(reach.high, at + half);
        }
    }
    return reach;
}

}  // namespace

std::optional<Band> stiffness_along_z(const PartModel& model, const std::vector<ZoneModulus>& zones,
                                      const plan::Range& exponent) {
    const Moduli moduli(model, zones, exponent);
    if (!moduli.are_known()) return std::nullopt;
    const double length_mm = model.layers.back().top_mm - model.layers.front().bottom_mm;
    const double area_mm2 = model.grid.cell_mm * model.grid.cell_mm;
    Band sum;
    for (std::size_t cell = 0; cell < model.grid.size(); ++cell) {
        Column column;
        for (const PartModel::Layer& layer : model.layers)
            column.add(layer.height_mm(), moduli.at(layer, cell));
        add(sum, column.stiffness(area_mm2, length_mm));
    }
    return sum;
}

std::optional<Band> stiffness_along(const PartModel& model, const plan::Vec3& direction,
                                    const std::vector<ZoneModulus>& zones,
                                    const plan::Range& exponent) {
    const Moduli moduli(model, zones, exponent);
    if (!moduli.are_known()) return std::nullopt;
    const plan::Vec3 other =
        std::abs(direction[2]) < 0.9 ? plan::Vec3{0, 0, 1} : plan::Vec3{1, 0, 0};
    plan::Vec3 u = cross(direction, other);
    const double norm = std::sqrt(dot(u, u));
    for (double& value : u) value /= norm;
    const plan::Vec3 v = cross(direction, u);
    const Reach along = reach_of(model, direction), wide = reach_of(model, u),
                deep = reach_of(model, v);
    const double length_mm = along.high - along.low;
    // A quarter of a cell, or of the thinnest layer, so that no layer is missed.
    double step_mm = model.grid.cell_mm / 4;
    for (const PartModel::Layer& layer : model.layers)
        step_mm = std::min(step_mm, layer.height_mm() / 4);
    const auto count = [](double mm, double step) {
        return std::max(1L, std::lround(std::ceil(mm / step)));
    };
    const long steps = count(length_mm, step_mm);
    const long columns = count(wide.high - wide.low, model.grid.cell_mm);
    const long rows = count(deep.high - deep.low, model.grid.cell_mm);
    const double du = (wide.high - wide.low) / static_cast<double>(columns);
    const double dv = (deep.high - deep.low) / static_cast<double>(rows);
    const double ds = length_mm / static_cast<double>(steps);
    const Places places(model, moduli);
    Band sum;
    for (long i = 0; i < columns; ++i) {
        for (long j = 0; j < rows; ++j) {
            const double a = wide.low + (static_cast<double>(i) + 0.5) * du;
            const double b = deep.low + (static_cast<double>(j) + 0.5) * dv;
            Column column;
            for (long k = 0; k < steps; ++k) {
                const double s = along.low + (static_cast<double>(k) + 0.5) * ds;
                column.add(ds, places.at({a * u[0] + b * v[0] + s * direction[0],
                                          a * u[1] + b * v[1] + s * direction[1],
                                          a * u[2] + b * v[2] + s * direction[2]}));
            }
            add(sum, column.stiffness(du * dv, length_mm));
        }
    }
    return sum;
}

}  // namespace durograde::grade
