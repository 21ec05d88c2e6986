#pragma once

#include "plan/plan.hpp"

namespace durograde::check {

/// Signed distance in mm from `at`, in the part's own coordinates, to the surface of a shape,
/// negative inside: by the closest point on it, of a mesh by looking at every triangle. The proof's
/// own formulas, which share nothing with those by which zones are cut.
double off_surface_mm(const plan::Shape& shape, const plan::Vec3& at);

/// What a mesh costs to ask: its triangles; 0 for other shapes.
std::size_t triangles_of(const plan::Shape& shape);

}  // namespace durograde::check
