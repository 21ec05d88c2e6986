#pragma once

#include <cstdint>
#include <vector>

#include "region/part_layers.hpp"
#include "region/slice.hpp"

namespace durograde::region {

/// Tells which spaces between the beads of a part are open to the outside, through whatever layers
/// the way leads. Spaces of neighbouring layers are one where they share a cell.
class Cavities {
  public:
    /// The next layer up, whose spaces were found. What is no wider than `narrow_mm` in its layer,
    /// such as sparse infill leaves, is no cavity and leads nowhere.
    void add(Slice& slice, double narrow_mm);
    /// After the last layer: for each layer, which of its spaces are open.
    [[nodiscard]] std::vector<std::vector<bool>> open();

  private:
    std::uint32_t root(std::uint32_t node);
    void join(std::uint32_t a, std::uint32_t b);

    static constexpr std::uint32_t outside_node = 0;
    std::vector<std::uint32_t> parent_{outside_node};
    std::vector<std::uint32_t> first_;  ///< node of each layer's space 0
    std::vector<Slice::Stretch> below_;
    std::vector<bool> roomy_{true};  ///< of all nodes
};

/// Narrower ways between beads lead nowhere.
inline constexpr double closed_mm = 0.4;

/// For each part and each of its layers, which of the spaces that `Slice::find_spaces(closed_mm)`
/// finds are open to the outside: all that lead there through whatever layers, or those around the
/// part alone.
std::vector<std::vector<std::vector<bool>>> open_spaces(PartLayers& layers, bool through_layers,
                                                        double narrow_mm);

}  // namespace durograde::region
