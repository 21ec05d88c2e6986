#include "grade/flow_spread.hpp"

#include <cmath>

namespace durograde::grade {
namespace {

const double step = std::log(1.01);  // from one number to the next, 1 %

}  // namespace

void FlowSpread::add(double flow_mm3_s, double volume_mm3) {
    volumes_[static_cast<int>(std::lround(std::log(flow_mm3_s) / step))] += volume_mm3;
    volume_mm3_ += volume_mm3;
}

double FlowSpread::at(double share) const {
    double below = 0.0;
    for (const auto& [number, volume] : volumes_) {
        below += volume;
        if (below >= share * volume_mm3_) return std::exp(number * step);
    }
    return volumes_.empty() ? 0.0 : std::exp(volumes_.rbegin()->first * step);
}

}  // namespace durograde::grade
