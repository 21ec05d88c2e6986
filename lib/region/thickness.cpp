#include "region/thickness.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <utility>

#include "region/cavities.hpp"
#include "region/depth.hpp"
#include "region/part_layers.hpp"
#include "region/sample_parts.hpp"
#include "region/slabs.hpp"
#include "region/thin_places.hpp"
#include "region/zone_cells.hpp"

namespace durograde::region {
namespace {

constexpr double finest_cell_mm = 0.15;
constexpr double least_cells = 2.0;   // of a wall: a thinner one looks like an edge
constexpr double most_cells = 400e3;  // of all parts that are looked at
/// Slope of the distance on a ridge between two faces: the sine of half the angle between them.
constexpr double steepest = 0.26;  // 30 degrees

bool asks_for_part(const plan::Plan& plan) {
    return std::any_of(plan.zones.begin(), plan.zones.end(), [](const plan::Zone& zone) {
        return std::any_of(zone.where.steps.begin(), zone.where.steps.end(),
                           [](const grammar::Step& step) { return step.op == grammar::Op::part; });
    });
}

/// Three places in a row, and what their distances tell of a ridge near the middle one.
struct Row {
    double before = 0.0, here = 0.0, after = 0.0;

    [[nodiscard]] bool peaks() const noexcept { return here >= before && here >= after; }
    /// Along the row; 0 where the middle one is as far as its neighbours, or farther.
    [[nodiscard]] double slope(double step_mm) const noexcept {
        if (peaks()) return 0.0;
        // What lies outside has no distance: the slope is that of the side within.
        if (before == 0.0 || after == 0.0)
            return std::abs(std::max(before, after) - here) / step_mm;
        return std::abs(after - before) / (2 * step_mm);
    }
    /// The ridge itself lies between places: its two flanks are alike. What lies outside has no
    /// distance and is no flank: beside the edge of a layer that hangs over there is none.
    [[nodiscard]] double peak_mm() const noexcept {
        const bool has_flanks = peaks() && before > 0.0 && after > 0.0;
        return has_flanks ? (before + after) / 2 + std::max(here - before, here - after) : here;
    }
};

/// A way from one cell to another, in cells and heights.
struct Way {
    int x = 0, y = 0, z = 0;
};
/// Along axes, and across edges and corners, where the distance falls along both axes alike.
constexpr std::array<Way, 13> ways = {{{1, 0, 0},
                                       {0, 1, 0},
                                       {0, 0, 1},
                                       {1, 1, 0},
                                       {1, -1, 0},
                                       {1, 0, 1},
                                       {1, 0, -1},
                                       {0, 1, 1},
                                       {0, 1, -1},
                                       {1, 1, 1},
                                       {1, 1, -1},
                                       {1, -1, 1},
                                       {-1, 1, 1}}};

/// Distances at three heights around the cells of the middle one.
class Heights {
  public:
    Heights(const Squares& below, const Squares& here, const Squares& above, double step_mm,
            const Grid& grid, double unit_mm2)
        : squares_{&below, &here, &above}, step_mm_(step_mm), grid_(grid), unit_mm2_(unit_mm2) {}

    [[nodiscard]] bool is_told(std::size_t cell) const {
        return (*squares_[1])[cell] != 0 && (*squares_[1])[cell] != Slabs::most;
    }
    [[nodiscard]] double mm(std::size_t cell) const { return mm(1, cell, 0); }
    [[nodiscard]] Row row(std::size_t cell, const Way& way) const {
        const auto columns = static_cast<std::ptrdiff_t>(grid_.columns);
        const std::ptrdiff_t off = (way.x + way.y * columns);
        return {mm(1 - way.z, cell, -off), mm(1, cell, 0), mm(1 + way.z, cell, off)};
    }
    [[nodiscard]] double step_mm(const Way& way) const {
        return std::hypot(way.x * grid_.cell_mm, way.y * grid_.cell_mm, way.z * step_mm_);
    }

  private:
    [[nodiscard]] double mm(int height, std::size_t cell, std::ptrdiff_t off) const {
        const auto at = static_cast<std::size_t>(static_cast<std::ptrdiff_t>(cell) + off);
        return std::sqrt((*squares_[static_cast<std::size_t>(height)])[at] * unit_mm2_);
    }

    std::array<const Squares*, 3> squares_;
    double step_mm_;
    const Grid& grid_;
    double unit_mm2_;
};

/// One part: its layers from the bed up, each held against those around it.
class Walls {
  public:
    Walls(const plan::Plan& plan, const Grid& grid, double limit_mm)
        : grid_(grid), limit_mm_(limit_mm) {
        for (const plan::Zone& zone : plan.zones) {
            stacks_.push_back(zone.thinnest_mm ? std::make_unique<Slabs>(limit_mm / 2) : nullptr);
            asked_mm_.push_back(zone.thinnest_mm.value_or(0.0));
            thin_.emplace_back(grid, asked_mm_.back());
        }
    }

    void add(const PartLayers::Layer& layer, Slice& slice, const std::vector<bool>& open,
             const ZoneCells& cells) {
        if (layers_.empty()) face_mm_ = layer.bottom_mm;
        layers_.push_back(layer);
        wanted_.resize(grid_.size());
        for (std::size_t zone = 0; zone < stacks_.size(); ++zone) {
            if (!stacks_[zone]) continue;
            for (std::size_t i = 0; i < grid_.size(); ++i)
                wanted_[i] = cells.zones[i] == static_cast<std::int16_t>(zone) ? 1 : 0;
            slice.settle(open);
            slice.leave(wanted_, cells.edges);
            Squares within = stacks_[zone]->spare();
            slice.measure(stacks_[zone]->unit_mm2(), Slabs::most, within);
            stacks_[zone]->add(layer.bottom_mm, layer.top_mm, std::move(within));
        }
        look(false);
    }
    void finish() { look(true); }

    [[nodiscard]] std::optional<ThinPlace> thinnest(std::size_t zone) const {
        return stacks_[zone] ? thin_[zone].thinnest() : std::nullopt;
    }

  private:
    /// Looks at the layers around which enough is known: their middles, and the heights at which
    /// they meet.
    void look(bool is_last) {
        const double known_mm = layers_.empty() ? 0.0 : layers_.back().top_mm - limit_mm_ / 2;
        while (next_ < layers_.size() && (is_last || layers_[next_].top_mm <= known_mm)) {
            for (std::size_t zone = 0; zone < stacks_.size(); ++zone) {
                if (stacks_[zone]) look_at(zone, layers_[next_], is_last);
            }
            ++next_;
        }
    }

    void look_at(std::size_t zone, const PartLayers::Layer& layer, bool is_last) {
        Slabs& slabs = *stacks_[zone];
        const double half = (layer.top_mm - layer.bottom_mm) / 2;
        slabs.drop_below(layer.bottom_mm - half);
        const std::array<double, 4> heights = {layer.bottom_mm, layer.middle_mm(), layer.top_mm,
                                               layer.top_mm + half};
        for (std::size_t i = 0; i < heights.size(); ++i)
            slabs.at(heights[i], face_mm_, is_last, planes_[i]);
        const double unit = slabs.unit_mm2();
        ridges(zone, heights[1], {planes_[0], planes_[1], planes_[2], half, grid_, unit});
        ridges(zone, heights[2], {planes_[1], planes_[2], planes_[3], half, grid_, unit});
    }

    void ridges(std::size_t zone, double z_mm, const Heights& heights) {
        std::vector<bool> wide(grid_.size());
        std::vector<RidgeCell> ridge;
        for (std::size_t cell = 0; cell < grid_.size(); ++cell)
            wide[cell] = 2 * heights.mm(cell) >= asked_mm_[zone];
        for (std::size_t row = 1; row + 1 < grid_.rows; ++row) {
            for (std::size_t column = 1; column + 1 < grid_.columns; ++column) {
                const std::size_t cell = row * grid_.columns + column;
                if (!heights.is_told(cell)) continue;
                const auto is_steep = [&](const Way& way) {
                    return heights.row(cell, way).slope(heights.step_mm(way)) > steepest;
                };
                if (std::any_of(ways.begin(), ways.end(), is_steep)) continue;
                double peak_mm = 0.0;
                for (std::size_t axis = 0; axis < 3; ++axis)
                    peak_mm = std::max(peak_mm, heights.row(cell, ways[axis]).peak_mm());
                if (2 * peak_mm < asked_mm_[zone] && 2 * peak_mm >= least_cells * grid_.cell_mm)
                    ridge.push_back({static_cast<std::uint32_t>(cell), 2 * peak_mm});
            }
        }
        thin_[zone].add(z_mm, std::move(wide), std::move(ridge));
    }

    Grid grid_;
    double limit_mm_, face_mm_ = 0.0;
    std::vector<std::unique_ptr<Slabs>> stacks_;  ///< of each zone that asks
    std::vector<PartLayers::Layer> layers_;
    std::size_t next_ = 0;
    std::array<Squares, 4> planes_;
    std::vector<std::uint8_t> wanted_;
    std::vector<double> asked_mm_;  ///< of each zone
    std::vector<ThinPlaces> thin_;
};

/// The depth of the parts that are looked at, where the plan asks for it and it can be told.
std::unique_ptr<Depth> depth_of(const plan::Plan& plan, const BeadLog& log,
                                const Footprint& footprint, const std::vector<bool>& wanted) {
    if (!plan.uses_depth()) return nullptr;
    auto measured = Depth::measure(plan.depth, log, footprint, wanted);
    auto* const depth = std::get_if<std::unique_ptr<Depth>>(&measured);
    return depth != nullptr ? std::move(*depth) : nullptr;
}

/// Keeps what one part has found where that is thinner.
void keep_thinner(const Walls& walls, int part, std::vector<std::optional<Thinnest>>& zones) {
    for (std::size_t zone = 0; zone < zones.size(); ++zone) {
        const std::optional<ThinPlace> found = walls.thinnest(zone);
        if (!found || (zones[zone] && zones[zone]->mm <= found->mm)) continue;
        zones[zone] = Thinnest{found->mm, found->at, found->area_mm2, part};
    }
}

}  // namespace

double thickness_limit_mm(const plan::Plan& plan) {
    double most_mm = 1.5;
    for (const plan::Zone& zone : plan.zones)
        most_mm = std::max(most_mm, zone.thinnest_mm.value_or(0.0));
    return 2 * most_mm;
}

Thicknesses measure_thickness(const plan::Plan& given, const BeadLog& log,
                              const Footprint& footprint,
                              const std::vector<plan::PartPlace>& places) {
    plan::Plan plan = given;
    plan.split.interlock_mm = 0.0;
    const std::vector<bool> wanted =
        asks_for_part(plan) ? std::vector<bool>(places.size(), true) : first_of_each_kind(places);
    Thicknesses result;
    result.zones.resize(plan.zones.size());
    result.cell_mm =
        std::max(finest_cell_mm, std::sqrt(area_around_mm2(footprint, wanted) / most_cells));
    PartLayers layers(log, footprint, wanted, result.cell_mm);
    if (layers.fault()) return result;
    const std::unique_ptr<Depth> depth = depth_of(plan, log, footprint, wanted);
    if (plan.uses_depth() && depth == nullptr) return result;
    const ZoneField field(plan);
    std::vector<Placement> placements;
    std::vector<Walls> walls;
    std::vector<std::size_t> next(places.size());
    for (std::size_t part = 0; part < places.size(); ++part) {
        placements.emplace_back(places[part], static_cast<int>(part), depth.get());
        walls.emplace_back(plan, layers.parts()[part].grid, thickness_limit_mm(plan));
    }
    const auto open = open_spaces(layers, plan.depth.open_cavities, plan.depth.narrow_mm);
    long number = 0;  // of the layer; it begins anew where height falls
    for (std::size_t run = 0; run < layers.runs(); ++run) {
        const double z_mm = layers.run_z_mm(run);
        number = run > 0 && z_mm > layers.run_z_mm(run - 1) ? number + 1 : 0;
        if (depth) depth->seek(z_mm);
        layers.for_slices(run, true, [&](std::size_t part, Slice& slice) {
            const PartLayers::Part& own = layers.parts()[part];
            const std::size_t index = next[part]++;
            slice.find_spaces(closed_mm);
            slice.settle(open[part][index]);
            ZoneCells cells(field, placements[part], own.grid);
            cells.measure(z_mm, number, slice);
            walls[part].add(own.layers[index], slice, open[part][index], cells);
        });
    }
    for (std::size_t part = 0; part < places.size(); ++part) {
        walls[part].finish();
        keep_thinner(walls[part], static_cast<int>(part), result.zones);
    }
    return result;
}

}  // namespace durograde::region
