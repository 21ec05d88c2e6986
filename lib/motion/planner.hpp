#pragma once

#include <array>
#include <cstddef>

namespace durograde::motion {

/// A stretch of the path under one speed limit. Lengths mm, times s; speeds squared, as that is
/// what an acceleration changes evenly along the way.
struct Stretch {
    double length = 0.0;
    double speed = 0.0;  ///< limit
    double acceleration = 1.0;
    double most_entry_squared = 0.0;  ///< by the corner before it and both speed limits
};

/// Looks ahead as motion controllers do: each stretch is entered as fast as the corner allows, as
/// can be reached from what came before, and as can be slowed down from in what follows. What
/// follows is assumed to end at rest until more is known; a stretch whose speeds can no longer
/// change is timed and forgotten. Memory is bounded: when the row is full its first is taken as it
/// is.
class Planner {
  public:
    /// The next stretch.
    void add(const Stretch& stretch);
    /// The last stretch is longer than was told.
    void extend(double length);
    /// The path ends at rest here.
    void stop();

    /// Whether `extend` has something to extend.
    [[nodiscard]] bool is_moving() const noexcept { return count_ > 0; }
    /// Seconds up to the begin of what may still change: cheap.
    [[nodiscard]] double settled_s() const noexcept { return settled_s_; }
    /// Seconds of all, if it ends at rest here.
    [[nodiscard]] double total_s() const;

  private:
    struct Planned {
        Stretch stretch;
        double entry_squared = 0.0;
    };
    static constexpr std::size_t row_limit = 64;  // as long as controllers' rows are, or longer

    [[nodiscard]] Planned& at(std::size_t i) { return row_[(first_ + i) % row_limit]; }
    [[nodiscard]] const Planned& at(std::size_t i) const { return row_[(first_ + i) % row_limit]; }
    void replan();
    void look_back();
    [[nodiscard]] std::size_t look_forward();
    void settle(std::size_t count);
    [[nodiscard]] double time_s(std::size_t i) const;

    std::array<Planned, row_limit> row_;
    std::size_t first_ = 0, count_ = 0;
    double settled_s_ = 0.0;
};

}  // namespace durograde::motion
