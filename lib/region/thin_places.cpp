#include "region/thin_places.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <limits>
#include <numeric>
#include <unordered_map>
#include <utility>

namespace durograde::region {
namespace {

constexpr double least_area_mm2 = 1.0;
// Of its thickness: a place that is narrower is no wall, but the tooth of steps along an edge.
constexpr double least_width = 0.5;
// A ridge goes on: it may jump a cell where it turns, and so much upwards where its wall leans.
constexpr int near_cells = 2;
constexpr double near_above_mm = 0.5;
constexpr std::size_t most_cells = 1'000'000;  // of ridges: some 150 cm² of thin walls, 70 MB
constexpr std::size_t block_cells = 8;         // along either axis

/// Sets that are joined one to another (Tarjan, Efficiency of a good but not linear set union
/// algorithm, 1975; from memory).
class Sets {
  public:
    explicit Sets(std::size_t count) : up_(count) { std::iota(up_.begin(), up_.end(), 0U); }
    std::size_t find(std::size_t i) {
        while (up_[i] != i) i = up_[i] = up_[up_[i]];
        return i;
    }
    void join(std::size_t a, std::size_t b) { up_[find(a)] = find(b); }

  private:
    std::vector<std::size_t> up_;
};

}  // namespace

std::size_t ThinPlaces::block_of(std::size_t x, std::size_t y) const {
    return y / block_cells * (grid_.columns / block_cells + 1) + x / block_cells;
}

void ThinPlaces::add(double z_mm, std::vector<bool> wide, std::vector<RidgeCell> ridge) {
    if (cells_ >= most_cells) return;
    cells_ += ridge.size();
    std::vector<bool> blocks(block_of(grid_.columns, grid_.rows) + 1);
    for (std::size_t y = 0; y < grid_.rows; ++y)
        for (std::size_t x = 0; x < grid_.columns; ++x)
            if (wide[y * grid_.columns + x]) blocks[block_of(x, y)] = true;
    heights_.push_back({z_mm, std::move(wide), std::move(blocks), std::move(ridge)});
}

/// Whether any block that the square reaches into holds a wide cell.
bool ThinPlaces::is_block_wide_near(const Height& at, long x, long y, long reach) const {
    const auto cell = [](long i, std::size_t count) {
        return static_cast<std::size_t>(std::clamp(i, 0L, static_cast<long>(count) - 1));
    };
    const std::size_t low_x = cell(x - reach, grid_.columns) / block_cells * block_cells;
    const std::size_t low_y = cell(y - reach, grid_.rows) / block_cells * block_cells;
    for (std::size_t by = low_y; by <= cell(y + reach, grid_.rows); by += block_cells)
        for (std::size_t bx = low_x; bx <= cell(x + reach, grid_.columns); bx += block_cells)
            if (at.wide_blocks[block_of(bx, by)]) return true;
    return false;
}

bool ThinPlaces::is_wide_near(const Height& at, std::uint32_t cell, double radius_mm) const {
    const auto columns = static_cast<long>(grid_.columns), rows = static_cast<long>(grid_.rows);
    const long reach = std::lround(std::floor(radius_mm / grid_.cell_mm));
    const long x = static_cast<long>(cell) % columns, y = static_cast<long>(cell) / columns;
    if (!is_block_wide_near(at, x, y, reach)) return false;
    for (long dy = -reach; dy <= reach; ++dy) {
        for (long dx = -reach; dx <= reach; ++dx) {
            if (x + dx < 0 || x + dx >= columns || y + dy < 0 || y + dy >= rows) continue;
            if (std::hypot(dx, dy) * grid_.cell_mm > radius_mm) continue;
            if (at.wide[static_cast<std::size_t>((y + dy) * columns + x + dx)]) return true;
        }
    }
    return false;
}

/// Whether a ball of the asked thickness fits that holds the cell, give or take a cell.
bool ThinPlaces::is_reached(std::size_t height, std::uint32_t cell) const {
    const double radius_mm = asked_mm_ / 2 + grid_.cell_mm;
    const double z_mm = heights_[height].z_mm;
    const auto reaches = [&](const Height& other) {
        const double dz = other.z_mm - z_mm;
        return is_wide_near(other, cell, std::sqrt(radius_mm * radius_mm - dz * dz));
    };
    for (std::size_t i = height; i < heights_.size(); ++i) {
        if (heights_[i].z_mm - z_mm > radius_mm) break;
        if (reaches(heights_[i])) return true;
    }
    for (std::size_t i = height; i-- > 0;) {
        if (z_mm - heights_[i].z_mm > radius_mm) break;
        if (reaches(heights_[i])) return true;
    }
    return false;
}

std::vector<ThinPlaces::Thin> ThinPlaces::thin_cells() const {
    std::vector<Thin> thin;
    for (std::size_t i = 0; i < heights_.size(); ++i)
        for (const RidgeCell& ridge : heights_[i].ridge)
            if (!is_reached(i, ridge.cell)) thin.push_back({i, ridge});
    return thin;
}

/// Thin cells that lie near each other, beside or above, belong to one place.
std::vector<std::vector<ThinPlaces::Thin>> ThinPlaces::places() const {
    const std::vector<Thin> thin = thin_cells();
    Sets sets(thin.size());
    constexpr std::uint32_t none = std::numeric_limits<std::uint32_t>::max();
    struct Plane {
        std::size_t height = 0;
        std::vector<std::uint32_t> thin;  // which one lies in each cell
    };
    std::deque<Plane> planes;  // of the present height, and of those near below
    const auto columns = static_cast<long>(grid_.columns), rows = static_cast<long>(grid_.rows);
    for (std::size_t i = 0; i < thin.size(); ++i) {
        const std::size_t height = thin[i].height;
        if (planes.empty() || planes.back().height != height) {
            const auto is_far = [&](const Plane& plane) {
                return plane.height + 1 < height &&
                       heights_[height].z_mm - heights_[plane.height].z_mm > near_above_mm;
            };
            while (!planes.empty() && is_far(planes.front())) planes.pop_front();
            planes.push_back({height, std::vector<std::uint32_t>(grid_.size(), none)});
        }
        const long x = thin[i].ridge.cell % columns, y = thin[i].ridge.cell / columns;
        const long low_x = std::max(0L, x - near_cells),
                   high_x = std::min(columns - 1, x + near_cells);
        const long low_y = std::max(0L, y - near_cells),
                   high_y = std::min(rows - 1, y + near_cells);
        for (const Plane& plane : planes)
            for (long at_y = low_y; at_y <= high_y; ++at_y)
                for (long at_x = low_x; at_x <= high_x; ++at_x) {
                    const auto other = plane.thin[static_cast<std::size_t>(at_y * columns + at_x)];
                    if (other != none) sets.join(i, other);
                }
        planes.back().thin[thin[i].ridge.cell] = static_cast<std::uint32_t>(i);
    }
    std::unordered_map<std::size_t, std::size_t> number;
    std::vector<std::vector<Thin>> places;
    for (std::size_t i = 0; i < thin.size(); ++i) {
        const auto [at, is_new] = number.try_emplace(sets.find(i), places.size());
        if (is_new) places.emplace_back();
        places[at->second].push_back(thin[i]);
    }
    return places;
}

double ThinPlaces::step_mm(std::size_t height) const {
    return height == 0 ? heights_[0].z_mm : heights_[height].z_mm - heights_[height - 1].z_mm;
}

/// Of the middle of a wall: what a skin covers at one height, or what stands above one another.
double ThinPlaces::area_mm2(const std::vector<Thin>& place) const {
    double widest = 0.0, standing = 0.0;
    for (std::size_t i = 0; i < place.size();) {
        const std::size_t height = place[i].height;
        std::size_t cells = 0;
        std::size_t low_x = grid_.columns, high_x = 0, low_y = grid_.rows, high_y = 0;
        for (; i < place.size() && place[i].height == height; ++i, ++cells) {
            const std::size_t x = place[i].ridge.cell % grid_.columns;
            const std::size_t y = place[i].ridge.cell / grid_.columns;
            low_x = std::min(low_x, x);
            high_x = std::max(high_x, x);
            low_y = std::min(low_y, y);
            high_y = std::max(high_y, y);
        }
        widest = std::max(widest, static_cast<double>(cells) * grid_.cell_mm * grid_.cell_mm);
        standing +=
            std::hypot(high_x - low_x + 1, high_y - low_y + 1) * grid_.cell_mm * step_mm(height);
    }
    return std::max(widest, standing);
}

geometry::Point ThinPlaces::point_of(const Thin& thin) const {
    return {grid_.x_mm(thin.ridge.cell % grid_.columns),
            grid_.y_mm(thin.ridge.cell / grid_.columns), heights_[thin.height].z_mm};
}

/// Of the balls of a place, which stand in rising order, those that may hold `at`: at one height
/// after the other, in rows from `reach_mm` in front of it to as far behind it.
template <typename Take>
void ThinPlaces::for_balls_around(const std::vector<Thin>& place, const Thin& at, double reach_mm,
                                  Take take) const {
    const double z_mm = heights_[at.height].z_mm;
    const auto reach = static_cast<std::size_t>(reach_mm / grid_.cell_mm) + 1;
    const std::size_t row = at.ridge.cell / grid_.columns;
    const std::size_t low = (row - std::min(row, reach)) * grid_.columns;
    const std::size_t high = (row + reach + 1) * grid_.columns;
    const auto is_before = [](const Thin& ball, const std::pair<std::size_t, std::size_t>& other) {
        return ball.height != other.first ? ball.height < other.first
                                          : ball.ridge.cell < other.second;
    };
    const auto begin_of = [&](std::size_t height, std::size_t cell) {
        return std::lower_bound(place.begin(), place.end(), std::pair{height, cell}, is_before);
    };
    std::size_t height = at.height;
    while (height > 0 && heights_[height - 1].z_mm >= z_mm - reach_mm) --height;
    for (; height < heights_.size() && heights_[height].z_mm <= z_mm + reach_mm; ++height) {
        for (auto it = begin_of(height, low);
             it != place.end() && it->height == height && it->ridge.cell < high; ++it)
            take(*it);
    }
}

/// Each cell as thick as the largest ball of the place that holds it, of large places some.
std::vector<ThinPlaces::Thin> ThinPlaces::with_largest_balls(const std::vector<Thin>& place) const {
    constexpr std::size_t most = 2000;
    std::vector<Thin> raised;
    const std::size_t stride = place.size() / most + 1;
    for (std::size_t i = 0; i < place.size(); i += stride) {
        const geometry::Point at = point_of(place[i]);
        double& thick_mm = raised.emplace_back(place[i]).ridge.thick_mm;
        for_balls_around(place, place[i], asked_mm_ / 2 + grid_.cell_mm, [&](const Thin& ball) {
            if (ball.ridge.thick_mm <= thick_mm) return;
            const geometry::Point centre = point_of(ball);
            const double x = centre.x - at.x, y = centre.y - at.y, z = centre.z - at.z;
            const double reach_mm = ball.ridge.thick_mm / 2 + grid_.cell_mm;
            if (x * x + y * y + z * z <= reach_mm * reach_mm) thick_mm = ball.ridge.thick_mm;
        });
    }
    return raised;
}

/// The diagonal of the box around it.
double ThinPlaces::extent_mm(const std::vector<Thin>& place) const {
    geometry::Point low = point_of(place.front()), high = low;
    for (const Thin& thin : place) {
        const geometry::Point at = point_of(thin);
        low = {std::min(low.x, at.x), std::min(low.y, at.y), std::min(low.z, at.z)};
        high = {std::max(high.x, at.x), std::max(high.y, at.y), std::max(high.z, at.z)};
    }
    return std::hypot(high.x - low.x, high.y - low.y, high.z - low.z);
}

std::optional<ThinPlace> ThinPlaces::thinnest() const {
    std::optional<ThinPlace> thinnest;
    for (const std::vector<Thin>& whole : places()) {
        const double area = area_mm2(whole);
        if (area < least_area_mm2) continue;
        std::vector<Thin> place = with_largest_balls(whole);
        const double share = least_area_mm2 / area;
        const auto at = static_cast<std::ptrdiff_t>(share * static_cast<double>(place.size() - 1));
        std::nth_element(
            place.begin(), place.begin() + at, place.end(),
            [](const Thin& a, const Thin& b) { return a.ridge.thick_mm < b.ridge.thick_mm; });
        const Thin& cell = place[static_cast<std::size_t>(at)];
        if (thinnest && thinnest->mm <= cell.ridge.thick_mm) continue;
        if (area < extent_mm(whole) * cell.ridge.thick_mm * least_width) continue;
        thinnest = {cell.ridge.thick_mm, area, point_of(cell)};
    }
    return thinnest;
}

}  // namespace durograde::region
