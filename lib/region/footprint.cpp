#include "region/footprint.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

constexpr double finest_cell_mm =
    0.2;  // below half a bead's width, so that a brim's loops stay apart
constexpr double most_cells = 16e6;
constexpr std::size_t most_islands = 32'766;
/// 8 MiB. Further ones are not looked at: a sheet of 40 parts has some 100,000.
constexpr std::size_t most_first_points = 500'000;
// Of a label: beads that count lie in the cell itself.
constexpr std::uint16_t painted = 0x8000;
constexpr double half_diagonal = 0.7072;  // of a cell

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
    const double row =
        std::clamp((y_mm - y_mm_.low) * cells_per_mm_ + 1.0, 0.0, static_cast<double>(rows_ - 1));
    return static_cast<std::size_t>(row) * columns_ + static_cast<std::size_t>(column);
}

void Footprint::paint_cell(std::size_t at, std::uint32_t run, bool above_first) {
    Cell& cell = cells_[at];
    if (above_first) cell.above_first = 1;
    if (cell.run == run) return;
    cell.run = run & 0x1fffffff;
    if (cell.times < 2) ++cell.times;
}

void Footprint::begin_layer(double above_mm) {
    ++layer_run_;
    // What stands on a raft that is not painted begins above the bed, and yet with a first layer.
    above_mm_ = has_beads_ ? above_mm : 0.0;
    several_layers_ = several_layers_ || above_mm_ > 0;
}

double Footprint::bead_width_mm() const {
    constexpr double usual_mm = 0.45, narrowest_mm = 0.2, widest_mm = 2.5;
    if (measured_side_mm2_ <= 0) return usual_mm;
    return std::clamp(measured_volume_mm3_ / measured_side_mm2_, narrowest_mm, widest_mm);
}

void Footprint::paint(const geometry::Point& from, const geometry::Point& to, double volume_mm3) {
    const std::uint32_t run = (layer_run_ + 1) & 0x1fffffff;  // 0 is never painted
    const bool above_first = above_mm_ > 0;
    has_beads_ = true;
    if (above_first) {
        measured_volume_mm3_ += volume_mm3;
        measured_side_mm2_ += geometry::distance_xy(from, to) * above_mm_;
    }
    if (!above_first && first_points_.size() + 2 <= most_first_points) {
        first_points_.push_back({from.x, from.y});
        first_points_.push_back({to.x, to.y});
    }
    // In cells. Beads off the bed are refused before; where one is not, it is painted on the
    // margin.
    const double columns = static_cast<double>(columns_ - 1), rows = static_cast<double>(rows_ - 1);
    const double x0 = std::clamp((from.x - x_mm_.low) * cells_per_mm_ + 1.0, 0.0, columns);
    const double y0 = std::clamp((from.y - y_mm_.low) * cells_per_mm_ + 1.0, 0.0, rows);
    const double dx = std::clamp((to.x - x_mm_.low) * cells_per_mm_ + 1.0, 0.0, columns) - x0;
    const double dy = std::clamp((to.y - y_mm_.low) * cells_per_mm_ + 1.0, 0.0, rows) - y0;
    // An odd number of steps: a bead's own midpoint, by which it is looked up, is on a painted
    // cell.
    const int steps = static_cast<int>(std::max(std::abs(dx), std::abs(dy))) | 1;
    const double step_x = dx / steps, step_y = dy / steps;
    double x = x0 + step_x / 2, y = y0 + step_y / 2;
    for (int i = 0; i < steps; ++i, x += step_x, y += step_y) {
        const std::size_t at = static_cast<std::size_t>(static_cast<std::uint32_t>(y)) * columns_ +
                               static_cast<std::uint32_t>(x);
        paint_cell(at, run, above_first);
    }
    // Corners, by which parts are placed, lie on painted cells too.
    paint_cell(index(from.x, from.y), run, above_first);
    paint_cell(index(to.x, to.y), run, above_first);
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

/// Not brim or skirt.
bool Footprint::counts(const Cell& cell) const noexcept {
    return cell.times > 0 && (cell.times > 1 || cell.above_first != 0 || !several_layers_);
}

/// Cells within `reach_cells` of one that counts: as the crow flies, or along either axis.
std::vector<std::uint8_t> Footprint::solid_cells(double reach_cells, bool straight) const {
    const int reach = static_cast<int>(reach_cells);
    std::vector<std::ptrdiff_t> offsets;
    for (int y = -reach; y <= reach; ++y) {
        for (int x = -reach; x <= reach; ++x) {
            if (straight && x * x + y * y > reach_cells * reach_cells) continue;
            offsets.push_back(y * static_cast<std::ptrdiff_t>(columns_) + x);
        }
    }
    std::vector<std::uint8_t> solid(cells_.size());
    const auto margin = static_cast<std::size_t>(reach);
    for (std::size_t row = first_row_ + margin; row + margin <= last_row_; ++row) {
        for (std::size_t column = first_column_ + margin; column + margin <= last_column_;
             ++column) {
            const std::size_t at = row * columns_ + column;
            if (!counts(cells_[at])) continue;
            for (const std::ptrdiff_t offset : offsets) {
                solid[static_cast<std::size_t>(static_cast<std::ptrdiff_t>(at) + offset)] = 1;
            }
        }
    }
    return solid;
}

void Footprint::flood(std::size_t seed, const std::vector<std::uint8_t>& solid,
                      std::uint16_t label) {
    Island island;
    island.min_x = island.min_y = 1e30;
    island.max_x = island.max_y = -1e30;
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
            for (std::size_t c = column > 0 ? column - 1 : 0;
                 c <= std::min(column + 1, columns_ - 1); ++c) {
                const std::size_t next = r * columns_ + c;
                if (solid[next] == 0 || labels_[next] != 0) continue;
                labels_[next] = label;
                open.push_back(next);
            }
        }
    }
    islands_.push_back(island);
}

void Footprint::find_islands() {
    const double half_bead = bead_width_mm() / 2 / cell_mm_;
    fit_box(static_cast<std::size_t>(half_bead) + 3);
    const std::vector<std::uint8_t> joined =
        solid_cells(std::max(1.0, std::floor(half_bead + 0.5)), false);
    // Every cell that a point within half a bead of a painted cell's middle may lie in.
    std::vector<std::uint8_t> near = solid_cells(half_bead + half_diagonal, true);
    constexpr std::uint8_t itself = 2;
    for (std::size_t i = 0; i < near.size(); ++i) {
        if (counts(cells_[i])) near[i] = itself;
    }
    cells_.clear();
    cells_.shrink_to_fit();
    labels_.assign(joined.size(), 0);
    for (std::size_t row = first_row_; row <= last_row_; ++row) {
        for (std::size_t column = first_column_; column <= last_column_; ++column) {
            const std::size_t i = row * columns_ + column;
            if (joined[i] == 0 || labels_[i] != 0 || islands_.size() >= most_islands) continue;
            flood(i, joined, static_cast<std::uint16_t>(islands_.size() + 1));
        }
    }
    // Neighbouring beads are joined generously, but a bead belongs to an island only where it lies
    // within half a bead of it: the first loop of a brim does not.
    for (std::size_t i = 0; i < labels_.size(); ++i) {
        if (near[i] == 0) labels_[i] = 0;
    }
    fill_holes();
    for (std::size_t i = 0; i < labels_.size(); ++i) {
        if (near[i] == itself && labels_[i] != 0) labels_[i] |= painted;
    }
    reach_cells_ = std::max(half_bead, half_diagonal);
    wrap_first_layers();
    part_of_.assign(islands_.size(), outside);
}

/// What an island encloses belongs to it: a cavity's wall that only the first layer has, and the
/// place of a part whose middle is hollow. An enclosed space between several islands belongs to
/// none.
void Footprint::fill_holes() {
    std::vector<std::uint8_t> seen(labels_.size());
    std::vector<std::uint32_t> space;
    for (std::size_t row = first_row_; row <= last_row_; ++row) {
        for (std::size_t column = first_column_; column <= last_column_; ++column) {
            const std::size_t i = row * columns_ + column;
            if (labels_[i] != 0 || seen[i] != 0) continue;
            const std::uint16_t owner = explore(i, seen, space);
            if (owner == 0) continue;
            for (const std::uint32_t cell : space) labels_[cell] = owner;
        }
    }
}

void Footprint::wrap_first_layers() {
    std::vector<std::vector<FlatPoint>> points(islands_.size());
    for (std::size_t i = 0; i < first_points_.size(); ++i) {
        const int found = island_of_bead(first_points_[i].x_mm, first_points_[i].y_mm);
        if (found < 0) continue;
        const auto island = static_cast<std::size_t>(found);
        if (points[island].empty()) islands_[island].first_bead = static_cast<long>(i);
        points[island].push_back(first_points_[i]);
    }
    first_points_.clear();
    first_points_.shrink_to_fit();
    for (std::size_t i = 0; i < islands_.size(); ++i)
        islands_[i].first_layer = Hull(std::move(points[i]));
}

Mask Footprint::mask(int island) const {
    const Island& box = islands_[static_cast<std::size_t>(island)];
    // Holes lie within the box; a margin of one cell lies around the bed.
    const std::size_t low = index(box.min_x, box.min_y), high = index(box.max_x, box.max_y);
    const std::size_t first_row = low / columns_ - 1, first_column = low % columns_ - 1;
    Mask mask;
    mask.cell_mm = cell_mm_;
    mask.low_x_mm = x_mm_.low + (static_cast<double>(first_column) - 0.5) * cell_mm_;
    mask.low_y_mm = y_mm_.low + (static_cast<double>(first_row) - 0.5) * cell_mm_;
    mask.columns = high % columns_ - first_column + 2;
    mask.rows = high / columns_ - first_row + 2;
    mask.cells.reserve(mask.columns * mask.rows);
    for (std::size_t row = first_row; row < first_row + mask.rows; ++row) {
        for (std::size_t column = first_column; column < first_column + mask.columns; ++column) {
            const bool inside = row < rows_ && column < columns_ &&
                                (labels_[row * columns_ + column] & ~painted) == island + 1;
            mask.cells.push_back(inside ? 1 : 0);
        }
    }
    return mask;
}

void Footprint::fit_box(std::size_t margin) {
    first_row_ = rows_;
    first_column_ = columns_;
    for (std::size_t row = 0; row < rows_; ++row) {
        for (std::size_t column = 0; column < columns_; ++column) {
            if (cells_[row * columns_ + column].times == 0) continue;
            first_row_ = std::min(first_row_, row);
            last_row_ = row;
            first_column_ = std::min(first_column_, column);
            last_column_ = std::max(last_column_, column);
        }
    }
    first_row_ -= std::min(first_row_, margin);
    first_column_ -= std::min(first_column_, margin);
    last_row_ = std::min(last_row_ + margin, rows_ - 1);
    last_column_ = std::min(last_column_ + margin, columns_ - 1);
}

/// Collects the unlabelled space around `seed`; returns the label of the one island around it, or
/// 0.
std::uint16_t Footprint::explore(std::size_t seed, std::vector<std::uint8_t>& seen,
                                 std::vector<std::uint32_t>& space) const {
    space.assign(1, static_cast<std::uint32_t>(seed));
    seen[seed] = 1;
    std::uint16_t owner = 0;
    bool open = false;
    for (std::size_t next = 0; next < space.size(); ++next) {
        const std::size_t at = space[next];
        const std::size_t row = at / columns_, column = at % columns_;
        if (row == first_row_ || column == first_column_ || row == last_row_ ||
            column == last_column_) {
            open = true;
            continue;
        }
        for (const std::size_t neighbour : {at - 1, at + 1, at - columns_, at + columns_}) {
            const std::uint16_t label = labels_[neighbour];
            if (label == 0 && seen[neighbour] == 0) {
                seen[neighbour] = 1;
                space.push_back(static_cast<std::uint32_t>(neighbour));
            }
            open = open || (label != 0 && owner != 0 && owner != label);
            if (label != 0) owner = label;
        }
    }
    return open ? std::uint16_t{0} : owner;
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
