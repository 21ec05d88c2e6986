#pragma once

#include "plan/plan.hpp"

namespace durograde::motion {

/// One move as the motion controller sees it. Lengths mm.
struct Move {
    double dx = 0.0, dy = 0.0, dz = 0.0, e = 0.0;
    double length_mm = 0.0;  ///< of the path; of the filament where nothing else moves
    double feed_mm_min = 0.0;
    bool extrudes = false;
};

/// Seconds of a move from speed `v0` to `v1` under speed limit `v` and acceleration `a` (mm, s), by
/// the trapezoid of equal accelerations (Biagiotti & Melchiorri, Trajectory Planning, 2008, ch. 3,
/// from memory). Where the length does not allow the change of speed, the mean of both speeds is
/// taken.
double trapezoid_s(double length, double v0, double v1, double v, double a);

/// Corner speed by junction deviation: v² = a·d·s/(1−s), s = sin(θ/2), θ the angle between the
/// reversed incoming and the outgoing direction (common practice, no source). `cosine` is that of
/// the turn, 1 straight.
double corner_speed(double cosine_of_turn, double acceleration, double deviation_mm);

/// Seconds of a list of moves. Each move is timed once the next one tells how fast its end may be
/// taken; there is no further look ahead.
class Clock {
  public:
    explicit Clock(const plan::Machine& machine);

    void move(const Move& move);
    /// Speed override of the moves to come, 1 = as programmed.
    void set_speed_factor(double factor) noexcept { speed_factor_ = factor; }
    /// The machine stands for `seconds`.
    void pause(double seconds);

    /// Time since the start to the begin of the pending move: cheap, and never more than `now_s`.
    [[nodiscard]] double finished_s() const noexcept { return done_s_; }
    /// Time since the start, the pending move taken to its end at rest. Never less than what was
    /// told before, though a later move may show that the pending one did not end at rest.
    [[nodiscard]] double now_s() const;

  private:
    struct Timed {
        double ux = 0.0, uy = 0.0, uz = 0.0, ue = 0.0;  ///< direction, per mm of path
        double length = 0.0, speed = 0.0, acceleration = 1.0;
    };
    [[nodiscard]] Timed limits(const Move& move) const;
    [[nodiscard]] double corner_squared(const Timed& before, const Timed& after,
                                        double cap_squared) const;
    void finish(double exit_squared);

    plan::Machine machine_;
    bool has_deviation_ = true;
    double deviation_mm_ = 0.0;
    double speed_factor_ = 1.0;
    double done_s_ = 0.0;
    mutable double told_s_ = 0.0;  ///< by `now_s`
    double entry_speed_ = 0.0;
    Timed pending_;
    bool has_pending_ = false;
};

}  // namespace durograde::motion
