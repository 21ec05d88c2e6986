#pragma once

#include <span>
#include <vector>

#include "plan/plan.hpp"
#include "program/state.hpp"

namespace durograde::grade {

/// A stretch that is extruded without a break.
using Polyline = std::vector<program::Point>;

/// The purge block as it grows: where the next filament goes. Each of its layers is a frame and a
/// zigzag across it, along x and y in turn, a quarter of the area filled (common practice, no
/// source): that much is laid in any case, so that the block stands. What more is primed goes
/// between the lines, until the layer is full.
class Block {
  public:
    /// Between the block and other beads, for the nozzle.
    static constexpr double clearance_mm = 3.0;
    /// Whether a bead from `from` to `to` would come nearer than that to a block.
    static bool is_near(const plan::Block& block, const program::Point& from,
                        const program::Point& to);

    /// `bead_mm` is the width of its beads.
    Block(const plan::Block& plan, double bead_mm);

    /// The layer whose top is at `z_mm` is laid from here on.
    void begin_layer(double z_mm);
    [[nodiscard]] double z_mm() const noexcept { return z_mm_; }
    /// How high the beads of the present layer are, mm.
    [[nodiscard]] double height_mm() const noexcept { return height_mm_; }
    [[nodiscard]] double bead_mm() const noexcept { return bead_mm_; }
    [[nodiscard]] bool is_begun() const noexcept { return layer_ > 0; }

    /// What is left of frame and zigzag, mm.
    [[nodiscard]] double left_mm() const;
    /// How much more the layer can take, mm.
    [[nodiscard]] double room_mm() const;
    /// Where the next stretch begins.
    [[nodiscard]] program::Point next() const;
    /// The next `length_mm`, no more than there is room for.
    std::vector<Polyline> take(double length_mm);

  private:
    void add_zigzag(double offset_mm);

    plan::Block plan_;
    double bead_mm_;
    double z_mm_ = 0.0, height_mm_ = 0.0;
    int layer_ = 0;
    std::vector<Polyline> rows_;  ///< of the layer: what is laid in any case first
    std::size_t row_ = 0, corner_ = 0;
    program::Point at_;  ///< on row `row_`, before its corner `corner_`
};

}  // namespace durograde::grade
