#pragma once

#include <cstddef>

#include "mesh/triangles.hpp"

namespace durograde::mesh {

/// How many triangles are looked at for one distance, on average over places in and around the
/// surface. Where triangles lie side by side it grows with the logarithm of their number: a sphere
/// of 130,000 takes some hundreds. Where all of them reach across all others every one is looked
/// at.
std::size_t mean_looks(const Triangles& triangles);

/// Beyond this a distance takes a millisecond, and a print asks for millions.
inline constexpr std::size_t most_looks = 10'000;

}  // namespace durograde::mesh
