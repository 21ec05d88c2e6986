#include "grade/filament_wear.hpp"

#include <algorithm>
#include <cmath>

namespace durograde::grade {
namespace {

constexpr double stretch_mm = 0.1;
constexpr long most_stretches = 200;  // 20 mm: few retractions are as long

long stretch_at(double mm) {
    return std::lround(mm / stretch_mm);
}

}  // namespace

void FilamentWear::draw(double fed_mm, double from_mm, double to_mm) {
    if (from_mm <= 0) ++retractions_;
    retracted_mm_ += to_mm - from_mm;
    const long newest = stretch_at(fed_mm), oldest = newest - most_stretches;
    const long begin = std::clamp(stretch_at(fed_mm - to_mm), oldest, newest - 1);
    // Short ones run over one stretch at least.
    const long end = from_mm <= 0 ? newest : std::max(stretch_at(fed_mm - from_mm), begin);
    if (passes_.empty()) first_ = newest;
    while (!passes_.empty() && first_ < oldest) {
        passes_.pop_front();
        ++first_;
    }
    first_ = std::max(first_, oldest);
    for (; first_ > begin; --first_) passes_.push_front(0);
    while (first_ + static_cast<long>(passes_.size()) < newest) passes_.push_back(0);
    for (long stretch = begin; stretch < end; ++stretch) {
        most_ = std::max(most_, ++passes_[static_cast<std::size_t>(stretch - first_)]);
    }
}

}  // namespace durograde::grade
