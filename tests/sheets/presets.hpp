/// @file
/// The sheets that the corpus and the bench use.
#pragma once

#include <string>

#include "style.hpp"

namespace durograde::sheets {

/// Twelve pads for the gripper of a robot that moves seedlings, each with a slot for the tongue of
/// its core.
Style demo_style();

/// The distances from the tongue at which the zones of the bench end, and the tongue itself: an
/// upright capsule in the middle of each part.
inline constexpr double bench_tongue_radius_mm = 3.0;
inline constexpr double bench_grip_mm = 3.0;
inline constexpr double bench_blend_mm = 6.0;

/// The most parts a bench sheet can have on its bed.
inline constexpr int bench_most_parts = 64;

/// A sheet of at least `bytes` bytes and less than one layer more. A layer never has more than
/// about 60,000 lines, whatever the size: a bigger sheet has more layers, and thinner ones where
/// they would otherwise not fit below 340 mm. (A tool that keeps some layers in memory needs the
/// same memory for each size, and so shows whether it streams.)
Style bench_style(double bytes, int parts);

/// The places of a style's parts as the `[sheet]` table of a plan.
std::string places_table(const Style& style);

/// A plan in three zones for `bench_style`, as text.
std::string bench_plan(const Style& style);

}  // namespace durograde::sheets
