#include "grade/gantry.hpp"

#include <algorithm>
#include <string>

#include "text/number.hpp"

namespace durograde::grade {
namespace {

constexpr double slack_mm = 0.01;
// What is extruded higher above all else lies on nothing: it falls.
constexpr double highest_layer_mm = 5.0;

}  // namespace

void Gantry::move(const program::Interpreter& interpreter, const RawLine& raw,
                  const program::Step& step) {
    if (!interpreter.state().known[2]) return;
    if (step.to.z < top_mm_ - *room_mm_ - slack_mm) {
        std::string text = "the nozzle goes to height ";
        append_trimmed(text, step.to.z);
        append_trimmed(text += " while what is printed stands ", top_mm_);
        append_trimmed(text += " mm high, and machine.gantry leaves ", *room_mm_);
        throw interpreter.failure(raw, 1, "under-the-gantry", text + " mm above the nozzle",
                                  "print all parts layer by layer, or lower ones; or measure "
                                  "`gantry` anew: what passes over the bed, above the nozzle's "
                                  "tip");
    }
    const bool prints = step.kind == program::StepKind::bead || step.primes;
    if (prints && step.to.z <= top_mm_ + highest_layer_mm) top_mm_ = std::max(top_mm_, step.to.z);
}

}  // namespace durograde::grade
