#include <cmath>

#include "grade/emitter.hpp"

/// Controllers differ in what a tool change leaves behind, and nobody knows what a command that is
/// not understood does. So what the next bead rests on is said anew.
namespace durograde::grade {

/// Position, modes, the count of E, feed, fan and settings, as far as the program has said them.
void Emitter::restate_after_swap(double safe_z_mm) {
    has_stood_ = writer_.knows_position();
    const double feed_mm_min = plan_.machine.speed.z * 60;
    const double rise_mm = writer_.knows_height() ? safe_z_mm - writer_.position().z : 0.0;
    if (rise_mm != 0.0)
        clock_.move(
            {0.0, 0.0, rise_mm, 0.0, std::abs(rise_mm), feed_mm_min, motion::Drive::travel});
    writer_.stand_at({writer_.position().x, writer_.position().y, safe_z_mm});
    insert(Reason::swap, [&] { writer_.restate(feed_mm_min, true); });
    fan_said_ = -1.0;
    all_settings_stale_ = true;
    count_stale_ = writer_.frame().e_relative;
    restate_due_ = false;
}

/// Before the first way of ours behind such a command: modes and place. Of fan and settings what
/// the input has said anew is said with the stroke: the command may have set the others on purpose.
void Emitter::restate_after_barrier() {
    if (!restate_due_) return;
    restate_due_ = false;
    count_stale_ = writer_.frame().e_relative;
    // Where beads were printed since, the input's own lines have led there.
    insert(Reason::frame, [&] { writer_.restate(plan_.machine.speed.z * 60, is_place_lost_); });
}

}  // namespace durograde::grade
