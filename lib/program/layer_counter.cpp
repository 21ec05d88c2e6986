#include <cmath>

#include "program/assembler.hpp"

namespace durograde::program {
namespace {

constexpr double same_height_mm = 1e-6;

}  // namespace

bool LayerCounter::begins(double z_mm, bool on_bed) {
    if (runs_ > 0 && !on_bed && std::abs(z_mm - z_mm_) <= same_height_mm) return false;
    const bool falls = runs_ > 0 && z_mm < z_mm_;
    layer_ = falls || on_bed ? 0 : layer_ + 1;
    z_mm_ = z_mm;
    ++runs_;
    return true;
}

}  // namespace durograde::program
