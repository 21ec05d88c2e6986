#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "geometry/path.hpp"
#include "region/slice.hpp"

namespace durograde::region {

/// Where the middle of a wall may lie: a ridge of the distance to the outside.
struct RidgeCell {
    std::uint32_t cell = 0;
    double thick_mm = 0.0;  ///< twice its distance
};

/// A place that is thin over at least 1 mm², and the thickness below which as much of it lies.
struct ThinPlace {
    double mm = 0.0, area_mm2 = 0.0;
    geometry::Point at;
};

/// Local thickness (Hildebrand and Rüegsegger, A new method for the model-independent assessment of
/// thickness in three-dimensional images, 1997): a place is as thick as the largest ball that fits
/// and holds it. What a ball of the thickness asked for reaches, such as corners, edges and
/// roundings of something thicker, is not thin; nor are strips less than half as wide as thick.
class ThinPlaces {
  public:
    ThinPlaces(const Grid& grid, double asked_mm) : grid_(grid), asked_mm_(asked_mm) {}

    /// The next height upwards. `wide` tells for each cell whether a ball of the asked thickness
    /// fits around it; `ridge` holds the cells of thinner ridges, in rising order. Where a million
    /// of them are kept, what comes higher up is left out.
    void add(double z_mm, std::vector<bool> wide, std::vector<RidgeCell> ridge);
    /// The thinnest of all places, once every height has been added.
    [[nodiscard]] std::optional<ThinPlace> thinnest() const;

  private:
    struct Height {
        double z_mm = 0.0;
        std::vector<bool> wide;
        std::vector<bool> wide_blocks;  ///< whether a block of cells holds any that is
        std::vector<RidgeCell> ridge;
    };
    struct Thin {
        std::size_t height = 0;
        RidgeCell ridge;
    };
    [[nodiscard]] bool is_reached(std::size_t height, std::uint32_t cell) const;
    [[nodiscard]] std::size_t block_of(std::size_t x, std::size_t y) const;
    [[nodiscard]] bool is_block_wide_near(const Height& at, long x, long y, long reach) const;
    [[nodiscard]] bool is_wide_near(const Height& at, std::uint32_t cell, double radius_mm) const;
    [[nodiscard]] std::vector<Thin> thin_cells() const;
    [[nodiscard]] std::vector<std::vector<Thin>> places() const;
    template <typename Take>
    void for_balls_around(const std::vector<Thin>& place, const Thin& at, double reach_mm,
                          Take take) const;
    [[nodiscard]] std::vector<Thin> with_largest_balls(const std::vector<Thin>& place) const;
    [[nodiscard]] geometry::Point point_of(const Thin& thin) const;
    [[nodiscard]] double area_mm2(const std::vector<Thin>& place) const;
    [[nodiscard]] double extent_mm(const std::vector<Thin>& place) const;
    [[nodiscard]] double step_mm(std::size_t height) const;

    Grid grid_;
    double asked_mm_;
    std::vector<Height> heights_;
    std::size_t cells_ = 0;  ///< of ridges
};

}  // namespace durograde::region
