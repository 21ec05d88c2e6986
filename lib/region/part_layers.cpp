#include "region/part_layers.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <utility>

namespace durograde::region {
namespace {

constexpr double narrowest_mm = 0.2, widest_mm = 2.5;  // that a bead is taken to be
constexpr double flat_mm = 0.01;
constexpr std::size_t margin_cells = 4;

geometry::Point point(std::int32_t x, std::int32_t y) {
    return {x * BeadLog::mm_per_unit, y * BeadLog::mm_per_unit, 0.0};
}

double length_mm(const BeadLog::Bead& bead) {
    return geometry::distance_xy(point(bead.from_x, bead.from_y), point(bead.to_x, bead.to_y));
}

bool goes_on(const BeadLog::Bead& before, const BeadLog::Bead& bead) {
    return before.to_x == bead.from_x && before.to_y == bead.from_y;
}

/// Mean width of the beads of one path, in whole µm: volume = length · width · height.
double width_mm(double volume_mm3, double length, double height_mm) {
    if (length <= 0.0) return narrowest_mm;
    const double width = std::clamp(volume_mm3 / (length * height_mm), narrowest_mm, widest_mm);
    return std::round(width * 1e3) * 1e-3;
}

/// A margin of space lies around all that the beads may cover.
Grid grid_around(const Mask& mask, double cell_mm) {
    const double around_mm = widest_mm / 2 + margin_cells * cell_mm;
    const double width = static_cast<double>(mask.columns) * mask.cell_mm + 2 * around_mm;
    const double depth = static_cast<double>(mask.rows) * mask.cell_mm + 2 * around_mm;
    return {mask.low_x_mm - around_mm, mask.low_y_mm - around_mm, cell_mm,
            static_cast<std::size_t>(width / cell_mm) + 1,
            static_cast<std::size_t>(depth / cell_mm) + 1};
}

std::string text_of(const char* format, std::size_t part, double a_mm, double b_mm) {
    std::array<char, 160> text{};
    std::snprintf(text.data(), text.size(), format, part, a_mm, b_mm);
    return text.data();
}

}  // namespace

PartLayers::PartLayers(const BeadLog& log, const Footprint& footprint, std::vector<bool> wanted,
                       double cell_mm)
    : log_(log),
      footprint_(footprint),
      wanted_(std::move(wanted)),
      parts_(wanted_.size()),
      slices_(wanted_.size()),
      is_painted_(wanted_.size()),
      next_(wanted_.size()) {
    for (std::size_t island = 0; island < footprint.islands().size(); ++island) {
        const int part = footprint.part_of(static_cast<int>(island));
        if (part == outside) continue;
        parts_[static_cast<std::size_t>(part)].grid =
            grid_around(footprint.mask(static_cast<int>(island)), cell_mm);
    }
    find_layers();
}

int PartLayers::part_of(const BeadLog::Bead& bead) const {
    const geometry::Point from = point(bead.from_x, bead.from_y);
    const geometry::Point to = point(bead.to_x, bead.to_y);
    const int part = footprint_.part_at((from.x + to.x) / 2, (from.y + to.y) / 2);
    return part != outside && wanted_[static_cast<std::size_t>(part)] ? part : outside;
}

void PartLayers::find_layers() {
    for (std::size_t run = 0; run < runs(); ++run) {
        log_.read(log_.layers()[run], beads_);
        std::fill(is_painted_.begin(), is_painted_.end(), false);
        for (const BeadLog::Bead& bead : beads_) {
            const int part = part_of(bead);
            if (part != outside) is_painted_[static_cast<std::size_t>(part)] = true;
        }
        for (std::size_t part = 0; part < parts_.size(); ++part) {
            if (is_painted_[part]) add_layer(part, run);
        }
    }
}

/// A part stands on the bed, or on what was printed below it: a raft that is outside.
double PartLayers::bottom_of_first(std::size_t run) const {
    if (run == 0) return 0.0;
    const double below_mm = log_.layers()[run - 1].z_mm;
    return below_mm < log_.layers()[run].z_mm ? below_mm : 0.0;
}

void PartLayers::add_layer(std::size_t part, std::size_t run) {
    const BeadLog::Layer& layer = log_.layers()[run];
    std::vector<Layer>& layers = parts_[part].layers;
    const double bottom_mm = layers.empty() ? bottom_of_first(run) : layers.back().top_mm;
    if (layer.z_mm <= bottom_mm && !fault_)
        fault_ = text_of("the height of part %zu falls from %.3f to %.3f mm", part, bottom_mm,
                         layer.z_mm);
    if (layer.rise_mm > flat_mm && !fault_)
        fault_ = text_of("height changes along a bead of part %zu, by %.3f mm at %.3f mm", part,
                         layer.rise_mm, layer.z_mm);
    layers.push_back({run, bottom_mm, layer.z_mm});
}

void PartLayers::paint(std::size_t run, bool with_edges) {
    log_.read(log_.layers()[run], beads_);
    std::fill(is_painted_.begin(), is_painted_.end(), false);
    for (std::size_t begin = 0, end = 0; begin < beads_.size(); begin = end) {
        double volume_mm3 = 0.0, length = 0.0;
        for (end = begin; end < beads_.size(); ++end) {
            if (end > begin && !goes_on(beads_[end - 1], beads_[end])) break;
            volume_mm3 += beads_[end].volume_mm3;
            length += length_mm(beads_[end]);
        }
        for (std::size_t i = begin; i < end; ++i) {
            const int found = part_of(beads_[i]);
            if (found == outside) continue;
            const auto part = static_cast<std::size_t>(found);
            const std::vector<Layer>& layers = parts_[part].layers;
            if (!is_painted_[part]) {
                is_painted_[part] = true;
                slices_[part].clear(parts_[part].grid);
                while (layers[next_[part]].run != run)
                    next_[part] = (next_[part] + 1) % layers.size();
            }
            const Layer& layer = layers[next_[part]];
            slices_[part].paint(
                point(beads_[i].from_x, beads_[i].from_y), point(beads_[i].to_x, beads_[i].to_y),
                width_mm(volume_mm3, length, layer.top_mm - layer.bottom_mm), with_edges);
        }
    }
}

}  // namespace durograde::region
