#pragma once

#include <cstdint>

#include "check/act.hpp"
#include "line.hpp"

namespace durograde::check {

/// A bit for each thing that a bead rests on and that a program can say.
enum Thing : std::uint32_t {
    says_units = 1,
    says_distance = 2,
    says_e_mode = 4,
    says_e_count = 8,
    says_x = 16,
    says_y = 32,
    says_z = 64,
    says_feed = 128,
    says_fan = 256,
    says_place = says_x | says_y | says_z,
};

/// Things said, and settings: a bit a family of them, several may share one.
struct Sayings {
    std::uint32_t things = 0;
    std::uint64_t settings = 0;

    void add(const Sayings& other) {
        things |= other.things;
        settings |= other.settings;
    }
    /// Whether all that is `wanted` was said.
    [[nodiscard]] bool hold(const Sayings& wanted) const {
        return (wanted.things & ~things) == 0 && (wanted.settings & ~settings) == 0;
    }
};

/// What a program has said at all, and since something went by that may have changed anything: a
/// command that nobody knows, or a change of tools. What was not said is unknown.
class SayingLog {
  public:
    explicit SayingLog(bool distance_sets_e) : distance_sets_e_(distance_sets_e) {}

    /// Takes a line with what it does into account.
    void see(const Act& act, const State& state, const grammar::Line& line);
    /// A command that is not understood went by.
    void pass_barrier() {
        since_ = pending_ = {};
        swapped_ = false;
    }
    /// Tools were changed, or the plan's own lines around that went by.
    void pass_swap() {
        since_ = pending_ = {};
        swapped_ = true;
    }

    [[nodiscard]] const Sayings& ever() const noexcept { return ever_; }
    [[nodiscard]] const Sayings& since() const noexcept { return since_; }
    /// Whether it was a change of tools that went by last.
    [[nodiscard]] bool swapped() const noexcept { return swapped_; }

  private:
    void add(const Sayings& said) {
        ever_.add(said);
        since_.add(said);
    }

    bool distance_sets_e_;
    Sayings ever_, since_;
    Sayings pending_;  ///< where the last bead leads: it says so for what comes after it
    bool swapped_ = false;
};

/// Whether a line that nothing may move across is one whose doing is known all the same: a dwell, a
/// new zero, a plane, homing, an object's name.
bool is_understood(const grammar::Line& line);

}  // namespace durograde::check
