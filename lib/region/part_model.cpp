#include "region/part_model.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>
#include <variant>

#include "region/cavities.hpp"
#include "region/depth.hpp"
#include "region/part_layers.hpp"
#include "region/sample_parts.hpp"
#include "region/zone_cells.hpp"

namespace durograde::region {
namespace {

constexpr double most_cells = 5e6;  // 6 bytes each
constexpr double window_mm = 3.0;   // across which sparse infill looks the same

/// How much bead lies in each cell of a layer, mm³: each bead is spread evenly over its length and
/// width.
class Filling {
  public:
    Filling(const Grid& grid, double height_mm)
        : grid_(grid), height_mm_(height_mm), mm3_(grid.size()) {}

    void add(const BeadLog::Bead& bead) {
        constexpr double unit = BeadLog::mm_per_unit;
        const double x = bead.from_x * unit, y = bead.from_y * unit;
        const double dx = bead.to_x * unit - x, dy = bead.to_y * unit - y;
        const double length_mm = std::hypot(dx, dy);
        if (!(length_mm > 0)) return;
        const double width_mm = static_cast<double>(bead.volume_mm3) / (length_mm * height_mm_);
        const double step_mm = grid_.cell_mm / 4;
        const long along = std::lround(std::ceil(length_mm / step_mm));
        const long across = std::clamp(std::lround(std::ceil(width_mm / step_mm)), 1L, 64L);
        const double each = static_cast<double>(bead.volume_mm3) /
                            (static_cast<double>(along) * static_cast<double>(across));
        for (long i = 0; i < along; ++i) {
            const double a = (static_cast<double>(i) + 0.5) / static_cast<double>(along);
            for (long j = 0; j < across; ++j) {
                const double b =
                    ((static_cast<double>(j) + 0.5) / static_cast<double>(across) - 0.5) *
                    width_mm / length_mm;
                put(x + a * dx - b * dy, y + a * dy + b * dx, each);
            }
        }
    }

    /// Share of the enclosed volume around each cell that beads fill.
    void fill(PartModel::Layer& layer) const {
        const auto reach = static_cast<long>(std::max(1.0, window_mm / 2 / grid_.cell_mm));
        const std::vector<double> volume = sums(mm3_);
        std::vector<double> inside(grid_.size());
        for (std::size_t i = 0; i < grid_.size(); ++i)
            inside[i] = layer.zones[i] == no_zone ? 0.0 : 1.0;
        const std::vector<double> cells = sums(inside);
        const double cell_mm3 = grid_.cell_mm * grid_.cell_mm * height_mm_;
        layer.fill.assign(grid_.size(), 0.0F);
        for (std::size_t row = 0; row < grid_.rows; ++row) {
            for (std::size_t column = 0; column < grid_.columns; ++column) {
                const std::size_t at = row * grid_.columns + column;
                if (layer.zones[at] == no_zone) continue;
                const double enclosed = within(cells, row, column, reach) * cell_mm3;
                layer.fill[at] = static_cast<float>(
                    std::min(1.0, within(volume, row, column, reach) / enclosed));
            }
        }
    }

  private:
    void put(double x, double y, double mm3) {
        const long column = std::lround((x - grid_.low_x_mm) / grid_.cell_mm);
        const long row = std::lround((y - grid_.low_y_mm) / grid_.cell_mm);
        if (column < 0 || row < 0 || column >= static_cast<long>(grid_.columns) ||
            row >= static_cast<long>(grid_.rows))
            return;
        mm3_[static_cast<std::size_t>(row) * grid_.columns + static_cast<std::size_t>(column)] +=
            mm3;
    }

    /// Of all cells below and left of each corner.
    [[nodiscard]] std::vector<double> sums(const std::vector<double>& of) const {
        const std::size_t width = grid_.columns + 1;
        std::vector<double> sum(width * (grid_.rows + 1));
        for (std::size_t row = 0; row < grid_.rows; ++row) {
            for (std::size_t column = 0; column < grid_.columns; ++column) {
                sum[(row + 1) * width + column + 1] =
                    of[row * grid_.columns + column] + sum[row * width + column + 1] +
                    sum[(row + 1) * width + column] - sum[row * width + column];
            }
        }
        return sum;
    }

    [[nodiscard]] double within(const std::vector<double>& sum, std::size_t row, std::size_t column,
                                long reach) const {
        const auto clamped = [](long at, std::size_t most) {
            return static_cast<std::size_t>(std::clamp(at, 0L, static_cast<long>(most)));
        };
        const auto r = static_cast<long>(row), c = static_cast<long>(column);
        const std::size_t low_row = clamped(r - reach, grid_.rows);
        const std::size_t high_row = clamped(r + reach + 1, grid_.rows);
        const std::size_t low = clamped(c - reach, grid_.columns);
        const std::size_t high = clamped(c + reach + 1, grid_.columns);
        const std::size_t width = grid_.columns + 1;
        return sum[high_row * width + high] - sum[low_row * width + high] -
               sum[high_row * width + low] + sum[low_row * width + low];
    }

    const Grid& grid_;
    double height_mm_;
    std::vector<double> mm3_;
};

/// Which part the middle of each bead lies on.
void parts_of(const std::vector<BeadLog::Bead>& beads, const Footprint& footprint,
              std::vector<int>& parts) {
    parts.clear();
    for (const BeadLog::Bead& bead : beads) {
        constexpr double unit = BeadLog::mm_per_unit;
        parts.push_back(footprint.part_at((bead.from_x / 2.0 + bead.to_x / 2.0) * unit,
                                          (bead.from_y / 2.0 + bead.to_y / 2.0) * unit));
    }
}

}  // namespace

std::vector<PartModel> model_parts(const plan::Plan& given, const BeadLog& log,
                                   const Footprint& footprint,
                                   const std::vector<plan::PartPlace>& places, double cell_mm) {
    plan::Plan plan = given;
    plan.split.interlock_mm = 0.0;
    const std::vector<bool> wanted = first_of_each_kind(places);
    const double cells_mm2 =
        area_around_mm2(footprint, wanted) * static_cast<double>(log.layers().size());
    PartLayers layers(log, footprint, wanted, std::max(cell_mm, std::sqrt(cells_mm2 / most_cells)));
    if (layers.fault()) return {};
    std::unique_ptr<Depth> depth;
    if (plan.uses_depth()) {
        auto measured = Depth::measure(plan.depth, log, footprint, wanted);
        if (std::holds_alternative<Misplaced>(measured)) return {};
        depth = std::get<std::unique_ptr<Depth>>(std::move(measured));
    }
    const ZoneField field(plan);
    std::vector<Placement> placements;
    std::vector<PartModel> models(places.size());
    for (std::size_t part = 0; part < places.size(); ++part) {
        placements.emplace_back(places[part], static_cast<int>(part), depth.get());
        models[part].part = static_cast<int>(part);
        models[part].grid = layers.parts()[part].grid;
    }
    const auto open = open_spaces(layers, plan.depth.open_cavities, plan.depth.narrow_mm);
    std::vector<BeadLog::Bead> beads;
    std::vector<int> part_of_bead;
    long number = 0;  // of the layer; it begins anew where height falls
    for (std::size_t run = 0; run < layers.runs(); ++run) {
        const double z_mm = layers.run_z_mm(run);
        number = run > 0 && z_mm > layers.run_z_mm(run - 1) ? number + 1 : 0;
        if (depth) depth->seek(z_mm);
        log.read(log.layers()[run], beads);
        parts_of(beads, footprint, part_of_bead);
        layers.for_slices(run, false, [&](std::size_t part, Slice& slice) {
            const PartLayers::Part& own = layers.parts()[part];
            PartModel& model = models[part];
            const std::size_t index = model.layers.size();
            slice.find_spaces(closed_mm);
            slice.settle(open[part][index]);
            ZoneCells cells(field, placements[part], own.grid);
            cells.measure(z_mm, number, slice);
            PartModel::Layer layer{
                own.layers[index].bottom_mm, own.layers[index].top_mm, std::move(cells.zones), {}};
            Filling filling(own.grid, layer.height_mm());
            for (std::size_t i = 0; i < beads.size(); ++i)
                if (part_of_bead[i] == static_cast<int>(part)) filling.add(beads[i]);
            filling.fill(layer);
            model.layers.push_back(std::move(layer));
        });
    }
    std::erase_if(models, [&](const PartModel& model) {
        return !wanted[static_cast<std::size_t>(model.part)] || model.layers.empty();
    });
    return models;
}

}  // namespace durograde::region
