#include "region/zone_cells.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::region {
namespace {

std::uint8_t kept(double share) {
    return static_cast<std::uint8_t>(std::lround(share * 255));
}

}  // namespace

void ZoneCells::measure(double z_mm, long layer, const Slice& slice) {
    z_mm_ = z_mm;
    layer_ = layer;
    fill(slice);
    find_edges();
}

Spot ZoneCells::spot(double column, double row) const {
    return placement_.spot(
        {grid_.low_x_mm + column * grid_.cell_mm, grid_.low_y_mm + row * grid_.cell_mm, z_mm_},
        layer_);
}

/// A row is gone along by the distances that are free of change.
void ZoneCells::fill(const Slice& slice) {
    zones.assign(grid_.size(), std::int16_t{no_zone});
    for (std::size_t row = 0; row < grid_.rows; ++row) {
        for (std::size_t column = 0; column < grid_.columns;) {
            const ZoneField::Probe probe =
                field_.at(spot(static_cast<double>(column), static_cast<double>(row)));
            const double free =
                std::clamp(probe.free_mm / grid_.cell_mm, 1.0, static_cast<double>(grid_.columns));
            const std::size_t end =
                std::min(column + static_cast<std::size_t>(free), grid_.columns);
            for (; column < end; ++column) {
                const std::size_t at = row * grid_.columns + column;
                if (!slice.is_outside(at)) zones[at] = static_cast<std::int16_t>(probe.zone);
            }
        }
    }
}

bool ZoneCells::differ(std::size_t a, std::size_t b) const {
    return zones[a] != zones[b] && zones[a] != no_zone && zones[b] != no_zone;
}

void ZoneCells::find_edges() {
    edges.assign(grid_.size(), 0);
    for (std::size_t row = 0; row + 1 < grid_.rows; ++row) {
        for (std::size_t column = 0; column + 1 < grid_.columns; ++column) {
            const std::size_t at = row * grid_.columns + column, up = at + grid_.columns;
            if (differ(at, at + 1)) {
                const double share = crossing(column, row, 1.0, 0.0);
                edges.right[at] = kept(share);
                edges.left[at + 1] = kept(1.0 - share);
            }
            if (differ(at, up)) {
                const double share = crossing(column, row, 0.0, 1.0);
                edges.up[at] = kept(share);
                edges.down[up] = kept(1.0 - share);
            }
        }
    }
}

/// Where on the way to the next cell the zone of this one ends, as a share of a cell.
double ZoneCells::crossing(std::size_t column, std::size_t row, double right, double up) const {
    constexpr int halvings = 8;
    const auto c = static_cast<double>(column), r = static_cast<double>(row);
    const int zone = zones[row * grid_.columns + column];
    double low = 0.0, high = 1.0;
    for (int i = 0; i < halvings; ++i) {
        const double middle = (low + high) / 2;
        (field_.zone_at(spot(c + middle * right, r + middle * up)) == zone ? low : high) = middle;
    }
    return (low + high) / 2;
}

}  // namespace durograde::region
