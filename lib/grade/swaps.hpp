#pragma once

#include <map>
#include <vector>

namespace durograde::grade {

/// The fewest tool swaps that any order of the tools within the layers allows, layer by layer: the
/// least cost over the tool that each layer may end with (Viterbi, IEEE Transactions on
/// Information Theory 13(2), 1967; from memory). Every tool of a layer is
/// used in one go.
class FewestSwaps {
  public:
    explicit FewestSwaps(int first_tool) { least_[first_tool] = 0; }

    /// `tools` are the different tools that the next layer needs; none where it needs none.
    void add_layer(const std::vector<int>& tools);
    [[nodiscard]] long fewest() const;

  private:
    std::map<int, long> least_;  ///< by the tool that stands ready
};

}  // namespace durograde::grade
