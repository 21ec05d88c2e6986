#pragma once

#include <map>

#include "check/clock.hpp"
#include "check/heat_model.hpp"
#include "check/ledger.hpp"

namespace durograde::check {

/// Quiet when idle, for tools whose standby is "auto": an idle tool stands no hotter than the
/// lowest temperature from which it is hot again in time. How long an idle lasts is known at its
/// end, and how hot the tool must be then at its first use.
class RestWatch {
  public:
    /// All must outlive the watch. The plan has [heat].
    RestWatch(const plan::Plan& plan, const Clock& clock, HeatModel& model, Ledger& ledger)
        : plan_(plan), clock_(clock), model_(model), ledger_(ledger) {}

    /// The tool is put away.
    void begin(int tool, std::uint64_t line);
    /// Its set-point has changed.
    void set(int tool, std::uint64_t line);
    /// Its set-point falls or rises, while it is idle or just before.
    void lower(int tool) { lowered_[tool] = false; }
    void raise(int tool) {
        if (lowered_.contains(tool)) lowered_[tool] = true;
    }
    /// It is taken again.
    void end(int tool);
    /// It extrudes, for the first time since or not.
    void use(int tool);

  private:
    struct Rest {
        double from_c = 0.0;  ///< the hottest that it can have been when it was put away
        double least_s = 0.0, swaps_s = 0.0;  ///< clock when it was put away; then the gap
        double set_c = 0.0, since_s = 0.0;    ///< set-point in force, and since when
        double heating_s = 0.0;               ///< up to it, at most
        std::uint64_t line = 0;               ///< where it was set
        double stood_s = 0.0;                 ///< the last set-point, when it was taken again
        double held_c = 0.0, held_s = 0.0;    ///< the hottest that stood longer than allowed
        double held_most_s = 0.0;             ///< that much was
        std::uint64_t held_line = 0;
        bool is_over = false, is_set_back = false;
    };
    void set_now(int tool, Rest& rest, std::uint64_t line);
    static void look_at(Rest& rest, double stood_s, double most_s);
    void settle(int number);
    void judge(int number, Rest rest);

    const plan::Plan& plan_;
    const Clock& clock_;
    HeatModel& model_;
    Ledger& ledger_;
    std::map<int, Rest> rests_;
    std::map<int, bool> lowered_;  ///< since their last use; true: and raised again
};

/// The lowest temperature that a tool that is at `from_c` may have so that it is at `ready_c` after
/// `gap_s`: unheated down to it, at full power up from it.
double lowest_c(const plan::Heater& heater, double from_c, double ready_c, double gap_s);

}  // namespace durograde::check
