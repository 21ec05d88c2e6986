#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "grade/figures.hpp"
#include "grade/swaps.hpp"
#include "program/span.hpp"

namespace durograde::grade {

/// What commands cost that nothing may be moved across: where one parts a layer, the tools of its
/// two halves cannot be visited in one go.
class BarrierCost {
  public:
    explicit BarrierCost(int first_tool) : parted_(first_tool), whole_(first_tool) {}

    /// The next span, and the different tools that its pieces need.
    void add(const program::Span& span, const std::vector<int>& tools);
    /// All spans were added.
    void finish();

    /// The fewest swaps that any order of the tools allows, as the layers are parted.
    [[nodiscard]] long fewest() const { return parted_.fewest(); }
    /// The same if nothing parted them.
    [[nodiscard]] long fewest_of_whole_layers() const { return whole_.fewest(); }
    /// By command: how often it parts a layer, and its share of the swaps that this costs.
    [[nodiscard]] std::vector<BarrierFigures> commands() const;

  private:
    FewestSwaps parted_, whole_;
    std::vector<int> layer_tools_;
    double z_mm_ = 0.0;
    bool has_layer_ = false;
    std::string waiting_;  ///< the command since the last pieces
    std::map<std::string, long> times_;
};

}  // namespace durograde::grade
