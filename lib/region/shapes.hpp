#pragma once

#include "plan/plan.hpp"

namespace durograde::region {

// Signed distances in mm from `point` to the surface of a form, negative inside. Exact for every
// one (the gradient has magnitude 1 almost everywhere), so 1 is a Lipschitz bound.

double distance(const plan::Sphere& sphere, const plan::Vec3& point);
double distance(const plan::Box& box, const plan::Vec3& point);
double distance(const plan::Capsule& capsule, const plan::Vec3& point);
double distance(const plan::Cylinder& cylinder, const plan::Vec3& point);
double distance(const plan::Cone& cone, const plan::Vec3& point);
double distance(const plan::Plane& plane, const plan::Vec3& point);

}  // namespace durograde::region
