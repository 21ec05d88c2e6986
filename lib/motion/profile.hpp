#pragma once

namespace durograde::motion {

/// Seconds of a move from speed `v0` to `v1` under speed limit `v` and acceleration `a` (mm, s), by
/// the trapezoid of equal accelerations (Biagiotti & Melchiorri, Trajectory Planning, 2008, ch. 3,
/// from memory). Where the length does not allow the change of speed, the mean of both speeds is
/// taken.
double trapezoid_s(double length, double v0, double v1, double v, double a);

/// Corner speed by junction deviation: v² = a·d·s/(1−s), s = sin(θ/2), θ the angle between the
/// reversed incoming and the outgoing direction (common practice, no source). `cosine` is that of
/// the turn, 1 straight.
double corner_speed(double cosine_of_turn, double acceleration, double deviation_mm);

/// Turns straighter than this are none.
inline constexpr double straight_cosine = 0.999999;

}  // namespace durograde::motion
