#include "region/slabs.hpp"

#include <algorithm>
#include <utility>

#include "region/slice.hpp"

namespace durograde::region {

Slabs::Slabs(double limit_mm) : limit_mm_(limit_mm), unit_mm2_(limit_mm * limit_mm / most) {}

Squares Slabs::spare() {
    if (spare_.empty()) return {};
    Squares squares = std::move(spare_.back());
    spare_.pop_back();
    return squares;
}

void Slabs::add(double bottom_mm, double top_mm, Squares within) {
    slabs_.push_back({bottom_mm, top_mm, std::move(within)});
}

void Slabs::drop_below(double z_mm) {
    while (!slabs_.empty() && z_mm - slabs_.front().top_mm >= limit_mm_) {
        spare_.push_back(std::move(slabs_.front().within));
        slabs_.pop_front();
    }
}

std::int16_t Slabs::square(double mm) const {
    const double leg = std::max(0.0, mm);
    return static_cast<std::int16_t>(
        std::min(leg * leg / unit_mm2_ + 0.5, static_cast<double>(most)));
}

void Slabs::at(double z_mm, double face_mm, bool uppermost, Squares& squares) const {
    double face = z_mm - face_mm;
    if (uppermost) face = std::min(face, slabs_.back().top_mm - z_mm);
    squares.assign(slabs_.front().within.size(), square(face));
    for (const Slab& slab : slabs_) {
        const std::int16_t across = square(std::max(slab.bottom_mm - z_mm, z_mm - slab.top_mm));
        if (across < most) lower(squares, slab.within, across);
    }
}

}  // namespace durograde::region
