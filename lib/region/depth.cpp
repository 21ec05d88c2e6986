#include "region/depth.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "region/cavities.hpp"

namespace durograde::region {
namespace {

constexpr double same_height_mm = 1e-6;
constexpr double most_values = 100e6;  // in the windows of all parts: 200 MB

/// Cells as the plan has them, or as wide as memory asks for.
double fitting_cell_mm(const plan::Depth& how, const BeadLog& log, const Footprint& footprint) {
    double area_mm2 = 0.0, high_mm = 0.0;
    for (std::size_t i = 0; i < footprint.islands().size(); ++i) {
        const Island& island = footprint.islands()[i];
        if (footprint.part_of(static_cast<int>(i)) == outside) continue;
        area_mm2 += (island.max_x - island.min_x + 4) * (island.max_y - island.min_y + 4);
    }
    for (const BeadLog::Layer& layer : log.layers()) high_mm = std::max(high_mm, layer.z_mm);
    const double layers = static_cast<double>(log.layers().size());
    const double share = high_mm > 0 ? std::min(1.0, 2 * how.limit_mm / high_mm) : 1.0;
    return std::max(how.cell_mm, std::sqrt(area_mm2 * (layers * share + 2) / most_values));
}

}  // namespace

std::variant<std::unique_ptr<Depth>, Misplaced> Depth::measure(const plan::Depth& how,
                                                               const BeadLog& log,
                                                               const Footprint& footprint,
                                                               const std::vector<bool>& wanted) {
    PartLayers layers(log, footprint, wanted, fitting_cell_mm(how, log, footprint));
    if (layers.fault()) {
        return Misplaced{"no-flat-layers", *layers.fault() + ": no `depth` can be told there",
                         "slice in flat layers, each above the one before, or describe the zones "
                         "without `depth`"};
    }
    return std::unique_ptr<Depth>(new Depth(how, std::move(layers)));
}

Depth::Depth(const plan::Depth& how, PartLayers layers)
    : how_(how),
      cell_mm_(layers.parts().empty() ? how.cell_mm : layers.parts().front().grid.cell_mm),
      layers_(std::move(layers)) {
    const auto open = open_spaces(layers_, how.open_cavities, how.narrow_mm);
    for (const auto& spaces : open)
        stacks_.push_back({.open = spaces, .slabs = Slabs(how.limit_mm), .now = {}});
}

void Depth::load_next_run() {
    layers_.for_slices(next_run_, true, [&](std::size_t part, Slice& slice) {
        Stack& stack = stacks_[part];
        const PartLayers::Layer& layer = layers_.parts()[part].layers[stack.end];
        slice.find_spaces(closed_mm);
        slice.settle(stack.open[stack.end]);
        Squares within = stack.slabs.spare();
        slice.measure(stack.slabs.unit_mm2(), Slabs::most, within);
        stack.slabs.add(layer.bottom_mm, layer.top_mm, std::move(within));
        ++stack.end;
    });
    ++next_run_;
}

void Depth::seek(double z_mm) {
    std::size_t run = run_;
    while (run < layers_.runs() && std::abs(layers_.run_z_mm(run) - z_mm) > same_height_mm) ++run;
    if (run == layers_.runs() || (is_at_run_ && run == run_)) return;
    run_ = run;
    is_at_run_ = true;
    for (std::size_t part = 0; part < stacks_.size(); ++part) {
        Stack& stack = stacks_[part];
        const auto& layers = layers_.parts()[part].layers;
        while (stack.layer < layers.size() && layers[stack.layer].run < run) ++stack.layer;
        stack.is_present = stack.layer < layers.size() && layers[stack.layer].run == run;
        if (stack.is_present) look_around(part);
    }
}

void Depth::look_around(std::size_t part) {
    Stack& stack = stacks_[part];
    const auto& layers = layers_.parts()[part].layers;
    const double middle_mm = layers[stack.layer].middle_mm();
    while (stack.end < layers.size() && layers[stack.end].bottom_mm - middle_mm < how_.limit_mm)
        load_next_run();
    stack.slabs.drop_below(middle_mm);
    stack.slabs.at(middle_mm, layers.front().bottom_mm, stack.end == layers.size(), stack.now);
}

double Depth::mm_at(std::size_t part, double x_mm, double y_mm) const noexcept {
    const Stack& stack = stacks_[part];
    const Grid& grid = layers_.parts()[part].grid;
    if (!stack.is_present) return 0.0;
    const double column = (x_mm - grid.low_x_mm) / grid.cell_mm;
    const double row = (y_mm - grid.low_y_mm) / grid.cell_mm;
    if (!(column >= 0.0 && row >= 0.0)) return 0.0;
    const auto c = static_cast<std::size_t>(column), r = static_cast<std::size_t>(row);
    if (c + 1 >= grid.columns || r + 1 >= grid.rows) return 0.0;
    const double unit_mm2 = stack.slabs.unit_mm2();
    const auto depth = [&](std::size_t at) { return std::sqrt(stack.now[at] * unit_mm2); };
    const double u = column - static_cast<double>(c), v = row - static_cast<double>(r);
    const std::size_t at = r * grid.columns + c;
    return (depth(at) * (1 - u) + depth(at + 1) * u) * (1 - v) +
           (depth(at + grid.columns) * (1 - u) + depth(at + grid.columns + 1) * u) * v;
}

}  // namespace durograde::region
