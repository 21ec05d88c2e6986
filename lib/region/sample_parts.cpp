#include "region/sample_parts.hpp"

#include <algorithm>

namespace durograde::region {

std::vector<bool> first_of_each_kind(const std::vector<plan::PartPlace>& places) {
    std::vector<bool> first(places.size());
    std::vector<int> kinds;
    for (std::size_t i = 0; i < places.size(); ++i) {
        if (std::find(kinds.begin(), kinds.end(), places[i].kind) != kinds.end()) continue;
        kinds.push_back(places[i].kind);
        first[i] = true;
    }
    return first;
}

double area_around_mm2(const Footprint& footprint, const std::vector<bool>& wanted) {
    double area_mm2 = 0.0;
    for (std::size_t i = 0; i < footprint.islands().size(); ++i) {
        const Island& island = footprint.islands()[i];
        const int part = footprint.part_of(static_cast<int>(i));
        if (part == outside || !wanted[static_cast<std::size_t>(part)]) continue;
        area_mm2 += (island.max_x - island.min_x + 4) * (island.max_y - island.min_y + 4);
    }
    return area_mm2;
}

}  // namespace durograde::region
