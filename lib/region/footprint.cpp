#include "region/footprint.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

constexpr double finest_cell_mm = 0.2;  // below half a bead's width, so that a brim's loops stay apart
constexpr double most_cells = 16e6;
constexpr std::size_t most_islands = 65'534;

}  // namespace

Footprint::Footprint(const plan::Range& x_mm, const plan::Range& y_mm) : x_mm_(x_mm), y_mm_(y_mm) {
    const double width = x_mm.high - x_mm.low, depth = y_mm.high - y_mm.low;
    cell_mm_ = std::max(finest_cell_mm, std::sqrt(width * depth / most_cells));
    cells_per_mm_ = 1.0 / cell_mm_;
    columns_ = static_cast<std::size_t>(std::ceil(width / cell_mm_)) + 3;
    rows_ = static_cast<std::size_t>(std::ceil(depth / cell_mm_)) + 3;
    cells_.resize(columns_ * rows_);
}

std::size_t Footprint::index(double x_mm, double y_mm) const noexcept {
    // One cell of margin all around; points beyond the bed fall on it.
    const double column = std::clamp((x_mm - x_mm_.low) * cells_per_mm_ + 1.0, 0.0,
                                     static_cast<double>(columns_ - 1));
    const double row = std::clamp((y_mm - y_mm_.low) * cells_per_mm_ + 1.0, 0.0,
                                  static_cast<double>(rows_ - 1));
    return static_cast<std::size_t>(row) * columns_ + static_cast<std::size_t>(column);
}

void Footprint::paint_cell(std::size_t at, std::uint32_t run, bool above_first) {
    Cell& cell = cells_[at];
    if (above_first) cell.above_first = 1;
    if (cell.run == run) return;
    cell.run = run & 0x1fffffff;
    if (cell.times < 2) ++cell.times;
}

void Footprint::paint(const program::Point& from, const program::Point& to, std::uint32_t layer_run,
                      bool above_first) {
    several_layers_ = several_layers_ || above_first;
    const std::uint32_t run = (layer_run + 1) & 0x1fffffff;  // 0 is never painted
    const double dx = to.x - from.x, dy = to.y - from.y;
    const double longest = std::max(std::abs(dx), std::abs(dy));
    const int steps = static_cast<int>(longest * cells_per_mm_) + 1;
    const double step_x = dx / steps, step_y = dy / steps;
    // Midpoints of the steps: a bead's own midpoint, by which it is looked up, is on a painted cell.
    double x = from.x + step_x / 2, y = from.y + step_y / 2;
    for (int i = 0; i < steps; ++i, x += step_x, y += step_y) paint_cell(index(x, y), run, above_first);
    if (steps % 2 == 0) paint_cell(index(from.x + dx / 2, from.y + dy / 2), run, above_first);
}

std::vector<std::uint8_t> Footprint::solid_cells(int grow) const {
    const auto counts = [&](const Cell& cell) {
        return cell.times > 0 && (cell.times > 1 || cell.above_first != 0 || !several_layers_);
    };
    std::vector<std::uint8_t> solid(cells_.size());
    const auto reach = static_cast<std::size_t>(grow);
    for (std::size_t row = reach; row + reach < rows_; ++row) {
        for (std::size_t column = reach; column + reach < columns_; ++column) {
            if (!counts(cells_[row * columns_ + column])) continue;
            for (std::size_t r = row - reach; r <= row + reach; ++r) {
                std::fill_n(solid.begin() + static_cast<std::ptrdiff_t>(r * columns_ + column - reach),
                            2 * reach + 1, std::uint8_t{1});
            }
        }
    }
    return solid;
}

void Footprint::flood(std::size_t seed, const std::vector<std::uint8_t>& solid, std::uint16_t label) {
    Island island{1e30, 1e30, -1e30, -1e30, 0.0};
    std::vector<std::size_t> open{seed};
    labels_[seed] = label;
    while (!open.empty()) {
        const std::size_t at = open.back();
        open.pop_back();
        const std::size_t row = at / columns_, column = at % columns_;
        const double x = x_mm_.low + (static_cast<double>(column) - 0.5) * cell_mm_;
        const double y = y_mm_.low + (static_cast<double>(row) - 0.5) * cell_mm_;
        island.min_x = std::min(island.min_x, x);
        island.max_x = std::max(island.max_x, x);
        island.min_y = std::min(island.min_y, y);
        island.max_y = std::max(island.max_y, y);
        island.area_mm2 += cell_mm_ * cell_mm_;
        for (std::size_t r = row > 0 ? row - 1 : 0; r <= std::min(row + 1, rows_ - 1); ++r) {
            for (std::size_t c = column > 0 ? column - 1 : 0; c <= std::min(column + 1, columns_ - 1);
                 ++c) {
                const std::size_t next = r * columns_ + c;
                if (solid[next] == 0 || labels_[next] != 0) continue;
                labels_[next] = label;
                open.push_back(next);
            }
        }
    }
    islands_.push_back(island);
}

void Footprint::find_islands(double bead_mm) {
    const int grow = std::max(1, static_cast<int>(bead_mm / 2 / cell_mm_ + 0.5));
    const std::vector<std::uint8_t> solid = solid_cells(grow);
    cells_.clear();
    cells_.shrink_to_fit();
    labels_.assign(solid.size(), 0);
    for (std::size_t i = 0; i < solid.size() && islands_.size() < most_islands; ++i) {
        if (solid[i] == 0 || labels_[i] != 0) continue;
        flood(i, solid, static_cast<std::uint16_t>(islands_.size() + 1));
    }
    part_of_.assign(islands_.size(), outside);
}

int Footprint::island_around(double x_mm, double y_mm) const {
    const std::size_t seed = index(x_mm, y_mm);
    if (labels_[seed] != 0) return labels_[seed] - 1;
    std::vector<bool> seen(labels_.size());
    std::vector<std::size_t> open{seed};
    seen[seed] = true;
    int found = -1;
    while (!open.empty()) {
        const std::size_t at = open.back();
        open.pop_back();
        const std::size_t row = at / columns_, column = at % columns_;
        const bool at_edge = row == 0 || column == 0 || row + 1 == rows_ || column + 1 == columns_;
        if (at_edge) return -1;
        for (const std::size_t next : {at - 1, at + 1, at - columns_, at + columns_}) {
            if (labels_[next] != 0) {
                found = labels_[next] - 1;
            } else if (!seen[next]) {
                seen[next] = true;
                open.push_back(next);
            }
        }
    }
    return found;
}

int Footprint::part_at(double x_mm, double y_mm) const noexcept {
    const std::uint16_t label = labels_[index(x_mm, y_mm)];
    return label == 0 ? outside : part_of_[label - 1U];
}

}  // namespace durograde::region
