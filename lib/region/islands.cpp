#include <algorithm>
#include <cmath>

#include "region/footprint.hpp"
#include "region/strokes.hpp"

/// From painted cells to islands.
namespace durograde::region {
namespace {

constexpr std::size_t most_islands = 32'766;
constexpr double half_diagonal = 0.7072;  // of a cell

/// A stroke, by the ends of its beads in pairs, ends where it begins.
bool is_closed(std::span<const FlatPoint> ends, double within_mm) {
    return std::hypot(ends.front().x_mm - ends.back().x_mm, ends.front().y_mm - ends.back().y_mm) <=
           within_mm;
}

void corners_of(std::span<const FlatPoint> ends, std::vector<FlatPoint>& corners) {
    corners.clear();
    for (std::size_t i = 0; i < ends.size(); i += 2) {
        const FlatPoint &from = ends[i], &to = ends[i + 1];
        if (from.x_mm != to.x_mm || from.y_mm != to.y_mm) corners.push_back(from);
    }
}

/// Of a polygon.
double area_mm2(std::span<const FlatPoint> corners) {
    double twice = 0.0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const FlatPoint &a = corners[i], &b = corners[(i + 1) % corners.size()];
        twice += (a.x_mm - corners[0].x_mm) * (b.y_mm - corners[0].y_mm) -
                 (a.y_mm - corners[0].y_mm) * (b.x_mm - corners[0].x_mm);
    }
    return std::abs(twice) / 2;
}

}  // namespace

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
    end_layer();
    keep_own_walls();
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
    std::size_t first = 0;
    for (std::size_t i = 0; i < first_points_.size(); ++i) {
        while (first < firsts_.size() && firsts_[first].last_point <= i) ++first;
        const int found = island_of_bead(first_points_[i].x_mm, first_points_[i].y_mm);
        if (found < 0) continue;
        const auto at = static_cast<std::size_t>(found);
        if (points[at].empty()) {
            islands_[at].first_bead = static_cast<long>(i);
            islands_[at].first_run = firsts_[first].run;
            islands_[at].stack = firsts_[first].stack;
        }
        points[at].push_back(first_points_[i]);
    }
    find_rims();
    first_points_.clear();
    first_points_.shrink_to_fit();
    for (std::size_t i = 0; i < islands_.size(); ++i)
        islands_[i].first_layer = Hull(std::move(points[i]));
}

/// Of each island the closed loop of its first layer that encloses most.
void Footprint::find_rims() {
    const double bead = bead_width_mm();
    std::vector<double> largest(islands_.size(), 4 * bead * bead);
    std::vector<FlatPoint> corners;
    for_strokes(first_points_, [&](std::span<const FlatPoint> stroke) {
        if (stroke.size() < 6 || !is_closed(stroke, bead)) return;
        const int island = island_of_bead(stroke[0].x_mm, stroke[0].y_mm);
        if (island < 0) return;
        corners_of(stroke, corners);
        const double area = area_mm2(corners);
        double& most = largest[static_cast<std::size_t>(island)];
        if (area <= most) return;
        most = area;
        islands_[static_cast<std::size_t>(island)].rim = corners;
    });
}

std::vector<Footprint::Restart> Footprint::restarts() const {
    std::vector<Restart> restarts;
    for (const First& first : firsts_) {
        if (first.on_bed) restarts.push_back({first.where, first.rise_mm});
    }
    return restarts;
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

}  // namespace durograde::region
