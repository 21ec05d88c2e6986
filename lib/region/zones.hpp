#pragma once

#include <memory>
#include <vector>

#include "geometry/path.hpp"
#include "plan/plan.hpp"
#include "region/depth.hpp"
#include "region/margin.hpp"

namespace durograde::region {

/// Where a part stands: from machine coordinates to the part's own.
class Placement {
  public:
    Placement() = default;
    /// `depth` tells how deep places lie, where it is given; it must outlive the placement.
    Placement(const plan::PartPlace& place, int part, const Depth* depth);

    [[nodiscard]] Spot spot(const geometry::Point& point, long layer) const;

  private:
    double x_mm_ = 0.0, y_mm_ = 0.0, cosine_ = 1.0, sine_ = 0.0;
    int part_ = 0, kind_ = 0;
    const Depth* depth_ = nullptr;
};

inline constexpr int no_zone = -1;

/// The zones of a plan as one field: which zone a spot lies in, and how far one may go from there
/// without leaving it.
class ZoneField {
  public:
    /// `plan` must outlive the field.
    explicit ZoneField(const plan::Plan& plan);

    struct Probe {
        int zone = no_zone;  ///< index into the plan's zones: the first whose condition holds
        double free_mm =
            0.0;  ///< the zone cannot change within this; at least the step of the search
    };
    [[nodiscard]] Probe at(const Spot& spot) const;
    [[nodiscard]] int zone_at(const Spot& spot) const;

    /// The zones whose conditions have no known bound: their crossings are found by sampling.
    [[nodiscard]] const std::vector<int>& sampled() const noexcept { return sampled_; }
    [[nodiscard]] bool samples() const noexcept { return !sampled_.empty(); }

  private:
    [[nodiscard]] double shift_mm(int zone, int other, double layer) const;
    /// Among the zones from number `first` on.
    [[nodiscard]] Probe probe(std::size_t first, const Spot& spot, Distances& distances) const;

    std::unique_ptr<const Fields> fields_;  ///< to which the margins point
    std::vector<Margin> margins_;
    std::vector<double> temperatures_c_;  ///< not a number where a zone keeps its tool
    double tolerance_mm_, step_mm_, interlock_mm_;
    std::vector<int> sampled_;
};

}  // namespace durograde::region
