#pragma once

#include <memory>
#include <variant>
#include <vector>

#include "plan/plan.hpp"
#include "region/misplaced.hpp"
#include "region/part_layers.hpp"
#include "region/slabs.hpp"

namespace durograde::region {

/// How deep a place lies below the outer surface of its part, found from the beads alone: sides,
/// top and bed face. Each layer is as thick as it lies above the one before; a bead is measured
/// from the middle of its height. Sparse infill and closed cavities are no surface.
///
/// Layers are looked at in the order of printing, with those around that are within the limit in
/// memory: two bytes a cell.
class Depth {
  public:
    /// Looks through the whole log for the parts that are `wanted`. `log` and `footprint` must
    /// outlive this. Why it cannot be told where height falls or rises within a part.
    static std::variant<std::unique_ptr<Depth>, Misplaced> measure(const plan::Depth& how,
                                                                   const BeadLog& log,
                                                                   const Footprint& footprint,
                                                                   const std::vector<bool>& wanted);

    /// Goes on to the layer at this height: the present one or one that follows.
    void seek(double z_mm);
    /// Depth in mm of a place in the present layer, from 0 to the limit. Where the surface is a
    /// cell away or more, three quarters of a cell too little at worst (in the middle of walls; two
    /// cells where one layer is much larger or smaller than the next) and a quarter too much.
    [[nodiscard]] double mm_at(std::size_t part, double x_mm, double y_mm) const noexcept;

    /// Wider than the plan has it where the parts are too many or too large.
    [[nodiscard]] double cell_mm() const noexcept { return cell_mm_; }

  private:
    struct Stack {
        std::vector<std::vector<bool>> open;  ///< of each layer's spaces
        Slabs slabs;                          ///< those around the present layer
        std::size_t end = 0;                  ///< how many layers have been put there
        std::size_t layer = 0;                ///< the present one
        bool is_present = false;
        Squares now;  ///< in space, of the present layer
    };
    Depth(const plan::Depth& how, PartLayers layers);
    void load_next_run();
    void look_around(std::size_t part);

    plan::Depth how_;
    double cell_mm_;
    PartLayers layers_;
    std::vector<Stack> stacks_;
    std::size_t run_ = 0, next_run_ = 0;
    bool is_at_run_ = false;
};

}  // namespace durograde::region
