#include "region/depth.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "region/cavities.hpp"

namespace durograde::region {
namespace {

constexpr std::int16_t most = 16'000;  // two of them still fit into 16 bits
constexpr double closed_mm = 0.4;      // narrower ways between beads lead nowhere
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
                                                               std::size_t parts) {
    PartLayers layers(log, footprint, parts, fitting_cell_mm(how, log, footprint));
    if (layers.fault()) {
        return Misplaced{"no-flat-layers", *layers.fault() + ": no `depth` can be told there",
                         "slice in flat layers, each above the one before, or describe the zones "
                         "without `depth`"};
    }
    return std::unique_ptr<Depth>(new Depth(how, std::move(layers)));
}

Depth::Depth(const plan::Depth& how, PartLayers layers)
    : how_(how),
      unit_mm2_(how.limit_mm * how.limit_mm / most),
      cell_mm_(layers.parts().empty() ? how.cell_mm : layers.parts().front().grid.cell_mm),
      layers_(std::move(layers)),
      stacks_(layers_.parts().size()) {
    if (how_.open_cavities) find_open();
}

void Depth::find_open() {
    std::vector<Cavities> cavities(stacks_.size());
    for (std::size_t run = 0; run < layers_.runs(); ++run) {
        layers_.for_slices(run, false, [&](std::size_t part, Slice& slice) {
            slice.find_spaces(closed_mm);
            cavities[part].add(slice, how_.narrow_mm);
        });
    }
    for (std::size_t part = 0; part < stacks_.size(); ++part)
        stacks_[part].open = cavities[part].open();
}

std::int16_t Depth::square(double mm) const {
    return static_cast<std::int16_t>(std::min(
        std::max(0.0, mm) * std::max(0.0, mm) / unit_mm2_ + 0.5, static_cast<double>(most)));
}

void Depth::load_next_run() {
    layers_.for_slices(next_run_, true, [&](std::size_t part, Slice& slice) {
        Stack& stack = stacks_[part];
        slice.find_spaces(closed_mm);
        std::vector<bool> only_around(slice.spaces());
        only_around.front() = true;
        slice.settle(how_.open_cavities ? stack.open[stack.end] : only_around);
        Squares squares;
        if (!spare_.empty()) {
            squares = std::move(spare_.back());
            spare_.pop_back();
        }
        slice.measure(unit_mm2_, most, squares);
        stack.window.push_back(std::move(squares));
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
        if (!stack.is_present) continue;
        look_ahead(part);
        combine(part);
    }
}

void Depth::look_ahead(std::size_t part) {
    Stack& stack = stacks_[part];
    const auto& layers = layers_.parts()[part].layers;
    const double middle_mm = layers[stack.layer].middle_mm();
    while (stack.end < layers.size() && layers[stack.end].bottom_mm - middle_mm < how_.limit_mm)
        load_next_run();
    while (stack.begin < stack.layer && middle_mm - layers[stack.begin].top_mm >= how_.limit_mm) {
        spare_.push_back(std::move(stack.window.front()));
        stack.window.pop_front();
        ++stack.begin;
    }
}

/// The outside of each layer is as thick as the layer: from the middle of the present one, the way
/// to it has a leg within the layer and one across.
void Depth::combine(std::size_t part) {
    Stack& stack = stacks_[part];
    const auto& layers = layers_.parts()[part].layers;
    const double middle_mm = layers[stack.layer].middle_mm();
    stack.now = stack.window[stack.layer - stack.begin];
    for (std::size_t i = stack.begin; i < stack.end; ++i) {
        if (i == stack.layer) continue;
        const double gap_mm =
            i > stack.layer ? layers[i].bottom_mm - middle_mm : middle_mm - layers[i].top_mm;
        const std::int16_t across = square(gap_mm);
        if (across < most) lower(stack.now, stack.window[i - stack.begin], across);
    }
    const std::int16_t faces =
        square(std::min(layers.back().top_mm - middle_mm, middle_mm - layers.front().bottom_mm));
    for (std::int16_t& value : stack.now) value = std::min(value, faces);
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
    const auto depth = [&](std::size_t at) { return std::sqrt(stack.now[at] * unit_mm2_); };
    const double u = column - static_cast<double>(c), v = row - static_cast<double>(r);
    const std::size_t at = r * grid.columns + c;
    return (depth(at) * (1 - u) + depth(at + 1) * u) * (1 - v) +
           (depth(at + grid.columns) * (1 - u) + depth(at + grid.columns + 1) * u) * v;
}

}  // namespace durograde::region
