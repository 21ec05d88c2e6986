#pragma once

#include <cstdint>
#include <deque>
#include <vector>

namespace durograde::region {

/// Squared distances in a unit of their own, in 16 bits, so that many are told at once.
using Squares = std::vector<std::int16_t>;

/// Layers one above the other, each with the squared distances within it to what is outside. The
/// outside of a layer is as thick as the layer: from any height, the way to it has a leg within the
/// layer and one across, and the shortest of all is the distance in space.
class Slabs {
  public:
    /// Distances up to `limit_mm` are told apart.
    explicit Slabs(double limit_mm);

    /// What stands for the limit and all beyond. Two of them still fit into 16 bits.
    static constexpr std::int16_t most = 16'000;
    [[nodiscard]] double unit_mm2() const noexcept { return unit_mm2_; }
    [[nodiscard]] double limit_mm() const noexcept { return limit_mm_; }

    /// Memory of a layer that has gone, to be filled and added.
    Squares spare();
    void add(double bottom_mm, double top_mm, Squares within);
    /// Lets go of layers that lie the limit or more below `z_mm`.
    void drop_below(double z_mm);

    /// Fills `squares` with the distances at a height. Below the bed face at `face_mm` and above
    /// the last layer, where that is the `uppermost`, all is outside.
    void at(double z_mm, double face_mm, bool uppermost, Squares& squares) const;

  private:
    struct Slab {
        double bottom_mm = 0.0, top_mm = 0.0;
        Squares within;
    };
    [[nodiscard]] std::int16_t square(double mm) const;

    double limit_mm_, unit_mm2_;
    std::deque<Slab> slabs_;
    std::vector<Squares> spare_;
};

}  // namespace durograde::region
