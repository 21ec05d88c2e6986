#pragma once

#include <cstdint>
#include <vector>

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

}  // namespace durograde::region
