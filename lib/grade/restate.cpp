#include "grade/emitter.hpp"

/// Controllers differ in what a tool change leaves behind, and nobody knows what a command that is
/// not understood does. So what the next bead rests on is said anew.
namespace durograde::grade {

/// Position, modes, the count of E, feed, fan and settings, as far as the program has said them.
void Emitter::restate_after_swap() {
    has_stood_ = writer_.knows_position();
    insert(Reason::swap, [&] { writer_.restate(plan_.machine.speed.z * 60, true); });
    fan_said_ = -1.0;
    all_settings_stale_ = true;
    restate_due_ = false;
}

/// Before the first way of ours behind such a command: modes and place. Of fan and settings what
/// the input has said anew is said with the stroke: the command may have set the others on purpose.
void Emitter::restate_after_barrier() {
    if (!restate_due_) return;
    restate_due_ = false;
    // Where beads were printed since, the input's own lines have led there.
    insert(Reason::frame, [&] { writer_.restate(plan_.machine.speed.z * 60, is_place_lost_); });
}

}  // namespace durograde::grade
