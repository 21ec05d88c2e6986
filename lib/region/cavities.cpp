#include "region/cavities.hpp"

#include <algorithm>
#include <utility>

namespace durograde::region {
namespace {

/// Calls `take(a, b)` for the spaces of two layers wherever they share a cell.
template <typename Take>
void for_shared(std::span<const Slice::Stretch> a, std::span<const Slice::Stretch> b, Take take) {
    std::size_t i = 0, j = 0;
    while (i < a.size() && j < b.size()) {
        const bool same_row = a[i].row == b[j].row;
        if (same_row && a[i].begin < b[j].end && b[j].begin < a[i].end)
            take(a[i].space, b[j].space);
        const bool a_first = same_row ? a[i].end < b[j].end : a[i].row < b[j].row;
        ++(a_first ? i : j);
    }
}

}  // namespace

std::uint32_t Cavities::root(std::uint32_t node) {
    while (parent_[node] != node) node = parent_[node] = parent_[parent_[node]];
    return node;
}

void Cavities::join(std::uint32_t a, std::uint32_t b) {
    if (!roomy_[a] || !roomy_[b]) return;
    a = root(a);
    b = root(b);
    parent_[std::max(a, b)] = std::min(a, b);
}

void Cavities::add(Slice& slice, double narrow_mm) {
    const auto first = static_cast<std::uint32_t>(parent_.size());
    for (std::uint32_t space = 0; space < slice.spaces(); ++space) parent_.push_back(first + space);
    const std::vector<bool> roomy = slice.roomy_spaces(narrow_mm);
    roomy_.insert(roomy_.end(), roomy.begin(), roomy.end());
    join(outside_node, first);
    if (first_.empty()) {  // open towards the bed
        for (std::uint32_t space = 1; space < slice.spaces(); ++space)
            join(outside_node, first + space);
    } else {
        const std::uint32_t below = first_.back();
        for_shared(below_, slice.stretches(),
                   [&](std::uint32_t a, std::uint32_t b) { join(below + a, first + b); });
    }
    first_.push_back(first);
    below_.assign(slice.stretches().begin(), slice.stretches().end());
}

std::vector<std::vector<bool>> Cavities::open() {
    std::vector<std::vector<bool>> open(first_.size());
    if (first_.empty()) return open;
    for (auto node = first_.back(); node < parent_.size(); ++node) join(outside_node, node);
    for (std::size_t layer = 0; layer < first_.size(); ++layer) {
        const std::size_t end = layer + 1 < first_.size() ? first_[layer + 1] : parent_.size();
        for (std::size_t node = first_[layer]; node < end; ++node)
            open[layer].push_back(root(static_cast<std::uint32_t>(node)) == outside_node);
    }
    return open;
}

std::vector<std::vector<std::vector<bool>>> open_spaces(PartLayers& layers, bool through_layers,
                                                        double narrow_mm) {
    std::vector<std::vector<std::vector<bool>>> open(layers.parts().size());
    std::vector<Cavities> cavities(open.size());
    for (std::size_t run = 0; run < layers.runs(); ++run) {
        layers.for_slices(run, false, [&](std::size_t part, Slice& slice) {
            slice.find_spaces(closed_mm);
            if (through_layers) {
                cavities[part].add(slice, narrow_mm);
            } else {
                open[part].emplace_back(slice.spaces(), false).front() = true;
            }
        });
    }
    if (!through_layers) return open;
    for (std::size_t part = 0; part < open.size(); ++part) open[part] = cavities[part].open();
    return open;
}

}  // namespace durograde::region
