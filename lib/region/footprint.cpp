#include "region/footprint.hpp"

#include <algorithm>
#include <cmath>

#include "region/strokes.hpp"

namespace durograde::region {
namespace {

constexpr double finest_cell_mm =
    0.2;  // below half a bead's width, so that a brim's loops stay apart
constexpr double most_cells = 16e6;
/// Of a layer, 8 MiB. Further ones are not looked at: a sheet of 40 parts has some 100,000.
constexpr double judged_mm = 1.0;  // up to which height above the lowest layers may be first ones
constexpr std::size_t most_points = 500'000;

}  // namespace

Footprint::Footprint(const plan::Range& x_mm, const plan::Range& y_mm)
    : x_mm_(x_mm), y_mm_(y_mm), first_layers_(x_mm, y_mm) {
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
    const double row =
        std::clamp((y_mm - y_mm_.low) * cells_per_mm_ + 1.0, 0.0, static_cast<double>(rows_ - 1));
    return static_cast<std::size_t>(row) * columns_ + static_cast<std::size_t>(column);
}

void Footprint::paint_cell(std::size_t at, std::uint32_t run) {
    Cell& cell = cells_[at];
    if (!judging_ && cell.above_first != 0 && cell.times == 2) return;  // nothing to add
    if (!judging_) cell.above_first = 1;
    if (cell.run == run) return;
    cell.run = run & 0x1fffffff;
    if (cell.times < 2) ++cell.times;
    if (judging_) layer_.cells.push_back(static_cast<std::uint32_t>(at));
}

void Footprint::begin_layer(double rise_mm, std::uint64_t where) {
    end_layer();
    ++layer_run_;
    if (rise_mm <= 0) {
        stack_ += layer_run_ > 1 ? 1 : 0;
        risen_mm_ = 0.0;
        painted_below_ = false;
    }
    risen_mm_ += rise_mm;
    judging_ = risen_mm_ <= judged_mm;
    layer_.cells.clear();
    layer_.first_point = first_points_.size();
    layer_.where = where;
    layer_.rise_mm = rise_mm;
    layer_.volume_mm3 = layer_.side_mm2 = 0.0;
    if (judging_) first_layers_.begin_layer();
}

/// Says of the present layer whether it is a first one, where that was not known before.
void Footprint::end_layer() {
    if (layer_run_ == 0 || (judging_ && first_layers_.is_empty())) return;
    if (!judging_) {
        ++low_layer_;
        return;
    }
    const bool on_bed = first_layers_.stands_on_bed();
    // What stands on a raft that is not painted lies above the bed, and yet is a first layer.
    const bool first = on_bed || !painted_below_;
    painted_below_ = painted_below_ || !layer_.cells.empty();
    if (!first) return add_above();
    // Of what was two layers high at most, as lines of a purge beside each other, no bead tells.
    if (on_bed && low_layer_ < 2) measured_volume_mm3_ = measured_side_mm2_ = 0.0;
    low_layer_ = 0;
    firsts_.push_back(
        {layer_run_, stack_, on_bed, layer_.where, layer_.rise_mm, first_points_.size()});
}

/// The present layer lies on others.
void Footprint::add_above() {
    for (const std::uint32_t at : layer_.cells) cells_[at].above_first = 1;
    const auto own = first_points_.begin() + static_cast<std::ptrdiff_t>(layer_.first_point);
    if (low_layer_ < low_layers_.size()) {
        std::vector<FlatPoint>& low = low_layers_[low_layer_];
        low.insert(low.end(), own, first_points_.end());
    }
    ++low_layer_;
    first_points_.erase(own, first_points_.end());
    measured_volume_mm3_ += layer_.volume_mm3;
    measured_side_mm2_ += layer_.side_mm2;
    several_layers_ = true;
}

double Footprint::bead_width_mm() const {
    constexpr double usual_mm = 0.45, narrowest_mm = 0.2, widest_mm = 2.5;
    if (measured_side_mm2_ <= 0) return usual_mm;
    return std::clamp(measured_volume_mm3_ / measured_side_mm2_, narrowest_mm, widest_mm);
}

void Footprint::note(const geometry::Point& from, const geometry::Point& to) {
    if (judging_) first_layers_.add(from, to);
}

void Footprint::measure(double length_mm, double volume_mm3) {
    if (layer_.rise_mm <= 0) return;
    (judging_ ? layer_.volume_mm3 : measured_volume_mm3_) += volume_mm3;
    (judging_ ? layer_.side_mm2 : measured_side_mm2_) += length_mm * layer_.rise_mm;
}

void Footprint::paint(const geometry::Point& from, const geometry::Point& to, double volume_mm3) {
    const std::uint32_t run = (layer_run_ + 1) & 0x1fffffff;  // 0 is never painted
    note(from, to);
    measure(geometry::distance_xy(from, to), volume_mm3);
    keep_ends(from, to);
    for_cells_under({from.x, from.y}, {to.x, to.y}, [&](std::size_t at) { paint_cell(at, run); });
}

void Footprint::keep_ends(const geometry::Point& from, const geometry::Point& to) {
    if (!judging_ && low_layer_ >= low_layers_.size()) return;
    std::vector<FlatPoint>& points = judging_ ? first_points_ : low_layers_[low_layer_];
    if (points.size() + 2 > most_points) return;
    points.push_back({from.x, from.y});
    points.push_back({to.x, to.y});
}

template <typename Take>
void Footprint::for_cells_under(const FlatPoint& from, const FlatPoint& to, Take take) const {
    // In cells. Beads off the bed are refused before; where one is not, it is painted on the
    // margin.
    const double columns = static_cast<double>(columns_ - 1), rows = static_cast<double>(rows_ - 1);
    const double x0 = std::clamp((from.x_mm - x_mm_.low) * cells_per_mm_ + 1.0, 0.0, columns);
    const double y0 = std::clamp((from.y_mm - y_mm_.low) * cells_per_mm_ + 1.0, 0.0, rows);
    const double dx = std::clamp((to.x_mm - x_mm_.low) * cells_per_mm_ + 1.0, 0.0, columns) - x0;
    const double dy = std::clamp((to.y_mm - y_mm_.low) * cells_per_mm_ + 1.0, 0.0, rows) - y0;
    // An odd number of steps: a bead's own midpoint, by which it is looked up, is on a painted
    // cell.
    const int steps = static_cast<int>(std::max(std::abs(dx), std::abs(dy))) | 1;
    const double step_x = dx / steps, step_y = dy / steps;
    double x = x0 + step_x / 2, y = y0 + step_y / 2;
    for (int i = 0; i < steps; ++i, x += step_x, y += step_y) {
        take(static_cast<std::size_t>(static_cast<std::uint32_t>(y)) * columns_ +
             static_cast<std::uint32_t>(x));
    }
    // Corners, by which parts are placed, lie on painted cells too.
    take(index(from.x_mm, from.y_mm));
    take(index(to.x_mm, to.y_mm));
}

/// Cells under the first layers' own walls count, though nothing above may cover them.
void Footprint::keep_own_walls() {
    if (low_layers_[0].empty()) return;
    const OwnWalls walls(low_layers_, bead_width_mm());
    for_strokes(first_points_, [&](std::span<const FlatPoint> stroke) {
        if (!is_covered(stroke) && walls.owns(stroke)) keep(stroke);
    });
    low_layers_ = {};
}

/// All of its cells count already.
bool Footprint::is_covered(std::span<const FlatPoint> ends) const {
    bool covered = true;
    for (std::size_t i = 0; covered && i < ends.size(); i += 2)
        for_cells_under(ends[i], ends[i + 1],
                        [&](std::size_t at) { covered = covered && counts(cells_[at]); });
    return covered;
}

void Footprint::keep(std::span<const FlatPoint> ends) {
    for (std::size_t i = 0; i < ends.size(); i += 2)
        for_cells_under(ends[i], ends[i + 1], [&](std::size_t at) { cells_[at].above_first = 1; });
}

void Footprint::paint(const geometry::Point& from, const geometry::Point& to,
                      const geometry::Arc& arc, double volume_mm3) {
    constexpr double chord_mm = 0.5;
    const int chords = static_cast<int>(arc.length_mm() / chord_mm) + 1;
    for (int i = 0; i < chords; ++i) {
        paint(along(arc, from, to, 1.0 * i / chords), along(arc, from, to, (i + 1.0) / chords),
              volume_mm3 / chords);
    }
    // Chords pass beside the arc's own middle, by which it is looked up.
    const geometry::Point middle = along(arc, from, to, 0.5);
    paint(middle, middle, 0.0);
}

template <typename Take>
void Footprint::for_cells_around(long row, long column, long reach, Take take) const {
    const long last_row = std::min(row + reach, static_cast<long>(rows_) - 1);
    const long last_column = std::min(column + reach, static_cast<long>(columns_) - 1);
    for (long r = std::max(row - reach, 0L); r <= last_row; ++r) {
        for (long c = std::max(column - reach, 0L); c <= last_column; ++c) {
            take(r, c,
                 labels_[static_cast<std::size_t>(r) * columns_ + static_cast<std::size_t>(c)]);
        }
    }
}

int Footprint::island_at(double x_mm, double y_mm) const {
    return (labels_[index(x_mm, y_mm)] & ~painted) - 1;
}

int Footprint::island_of_bead(double x_mm, double y_mm) const noexcept {
    const std::uint16_t label = labels_[index(x_mm, y_mm)];
    if (label == 0) return -1;
    const bool inside = (label & painted) != 0 || !is_at_rim(x_mm, y_mm);
    return inside ? (label & ~painted) - 1 : -1;
}

int Footprint::part_at(double x_mm, double y_mm) const noexcept {
    const int island = island_of_bead(x_mm, y_mm);
    return island < 0 ? outside : part_of_[static_cast<std::size_t>(island)];
}

int Footprint::part_near(double x_mm, double y_mm, double reach_mm) const noexcept {
    const std::size_t at = index(x_mm, y_mm);
    std::uint16_t found = labels_[at];
    if (found == 0) {
        const auto row = static_cast<long>(at / columns_),
                   column = static_cast<long>(at % columns_);
        const long reach = static_cast<long>(reach_mm * cells_per_mm_) + 1;
        long nearest = 2 * reach * reach + 1;
        for_cells_around(row, column, reach, [&](long r, long c, std::uint16_t label) {
            const long away = (r - row) * (r - row) + (c - column) * (c - column);
            if (label == 0 || away >= nearest) return;
            nearest = away;
            found = label;
        });
    }
    return found == 0 ? outside : part_of_[(found & ~painted) - 1U];
}

/// Where the island ends, cells are too coarse to part its own wall from a brim's first loop: what
/// counts there is the distance to the middles of painted cells. They lie up to half a cell's
/// diagonal beside their bead, so that beads wider than two of these (0.29 mm) are told apart.
bool Footprint::is_at_rim(double x_mm, double y_mm) const noexcept {
    constexpr long rim_cells = 2;  // a wall that is none of the rim's is wider to its far side
    const double x = (x_mm - x_mm_.low) * cells_per_mm_ + 1.0;
    const double y = (y_mm - y_mm_.low) * cells_per_mm_ + 1.0;
    const long reach = std::max(rim_cells, static_cast<long>(reach_cells_) + 1);
    const auto column = static_cast<long>(x), row = static_cast<long>(y);
    bool near = false, ends = false;
    for_cells_around(row, column, reach, [&](long r, long c, std::uint16_t label) {
        const double dx = static_cast<double>(c) + 0.5 - x, dy = static_cast<double>(r) + 0.5 - y;
        near = near || ((label & painted) != 0 && dx * dx + dy * dy <= reach_cells_ * reach_cells_);
        const bool close = std::max(std::abs(c - column), std::abs(r - row)) <= rim_cells;
        ends = ends || (label == 0 && close);
    });
    return ends && !near;
}

}  // namespace durograde::region
