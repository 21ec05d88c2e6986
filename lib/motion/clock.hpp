#pragma once

#include "motion/limits.hpp"
#include "motion/planner.hpp"
#include "plan/plan.hpp"
#include "program/geometry.hpp"

namespace durograde::motion {

/// What of a move is timed by which of the accelerations.
enum class Drive : unsigned char { print, travel, filament };

/// One move as the motion controller sees it. Lengths mm.
struct Move {
    double dx = 0.0, dy = 0.0, dz = 0.0, e = 0.0;
    double length_mm = 0.0;  ///< of the path; of the filament where nothing else moves
    double feed_mm_min = 0.0;
    Drive drive = Drive::travel;
};

/// The bend of a move along an arc, with its directions at both ends.
struct Bend {
    double radius_mm = 0.0;
    double begin_x = 0.0, begin_y = 0.0, end_x = 0.0, end_y = 0.0;  ///< unit vectors
};

/// Of the stretch of `arc` from one point of it to another.
Bend bend_of(const program::Arc& arc, const program::Point& from, const program::Point& to);

/// Seconds of a list of moves under the limits of machine and program, by a planner that looks
/// ahead.
class Clock {
  public:
    explicit Clock(const plan::Machine& machine);

    void move(const Move& move);
    /// The machine retracts, or restarts, by a length of its own; it takes what `how` would.
    void machine_retraction(bool draws, const plan::Retract& how);
    /// Along an arc: no faster than the path's acceleration can hold on it (v² = a·r; of any
    /// textbook of mechanics).
    void move(const Move& move, const Bend& bend);
    /// Speed override of the moves to come (M220), 1 = as programmed.
    void set_speed_factor(double factor) noexcept { speed_factor_ = factor; }
    [[nodiscard]] double speed_factor() const noexcept { return speed_factor_; }
    /// The limits of the moves to come.
    void adopt(const program::SaidLimits& said) { limits_ = limits_of(machine_, said); }
    /// The machine stands for `seconds`.
    void pause(double seconds);

    /// Time since the start to the begin of what may still change: cheap, and never more than
    /// `now_s`.
    [[nodiscard]] double settled_s() const noexcept { return paused_s_ + planner_.settled_s(); }
    /// Time since the start, the moves so far taken to an end at rest. Never less than what was
    /// told before, though later moves may show that the last ones did not end at rest.
    [[nodiscard]] double now_s() const;

  private:
    struct Timed {
        std::array<double, 4> begin{}, end{};  ///< directions, per mm of path
        double speed = 0.0, acceleration = 1.0;
    };
    [[nodiscard]] Timed limit(const Move& move) const;
    [[nodiscard]] double corner_squared(const Timed& next, double cap_squared) const;
    void go(const Timed& next, double length_mm);

    plan::Machine machine_;
    Limits limits_;
    double speed_factor_ = 1.0;
    double paused_s_ = 0.0;
    mutable double told_s_ = 0.0;  ///< by `now_s`
    Planner planner_;
    Timed last_;
};

}  // namespace durograde::motion
