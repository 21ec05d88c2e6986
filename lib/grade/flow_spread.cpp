#include "grade/flow_spread.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::grade {
namespace {

constexpr double least_mm3_s = 1e-3, most_mm3_s = 1e4;
const double step = std::log(1.01);  // from one number to the next, 1 %

std::size_t number_of(double flow_mm3_s) {
    const double flow = std::clamp(flow_mm3_s, least_mm3_s, most_mm3_s);
    return static_cast<std::size_t>(std::lround(std::log(flow / least_mm3_s) / step));
}

}  // namespace

void FlowSpread::add(double flow_mm3_s, double volume_mm3) {
    if (volumes_.empty()) volumes_.resize(number_of(most_mm3_s) + 1);
    volumes_[number_of(flow_mm3_s)] += volume_mm3;
    volume_mm3_ += volume_mm3;
}

double FlowSpread::at(double share) const {
    double below = 0.0;
    for (std::size_t number = 0; number < volumes_.size(); ++number) {
        below += volumes_[number];
        if (volumes_[number] > 0 && below >= share * volume_mm3_)
            return least_mm3_s * std::exp(static_cast<double>(number) * step);
    }
    return empty() ? 0.0 : most_mm3_s;
}

}  // namespace durograde::grade
