#include <algorithm>
#include <string>

#include "grade/emitter.hpp"
#include "text/number.hpp"

/// Settings, label and fan that a stroke is printed with, where they are not in force already.
namespace durograde::grade {

void Emitter::say_settings(const std::shared_ptr<const program::Settings>& settings, const Fan& fan,
                           int label) {
    if (settings != settings_ || all_settings_stale_) {
        for (const std::string_view line : settings->lines_after(*settings_, all_settings_stale_)) {
            writer_.line(line);
            count(figures_.edits.inserted, Reason::settings);
        }
        settings_ = settings;
        all_settings_stale_ = false;
        clock_.adopt(settings_->limits());
    }
    if (label != label_) {
        writer_.line("M486 S" + std::to_string(label));
        count(figures_.edits.inserted, Reason::settings);
        label_ = label;
    }
    if (!fan.named) return;
    if (fan.said_at > fan_said_at_) fan_said_ = -1.0;
    if (say_fan(fan.duty)) count(figures_.edits.inserted, Reason::fan);
}

/// The duty that the tool in use may have; off stays off.
double Emitter::fan_within_range(double duty) const {
    const plan::Tool* current = tool();
    if (current == nullptr || !current->fan.has_value() || duty <= 0) return duty;
    return std::clamp(duty, current->fan->low, current->fan->high);
}

/// False where the fan runs as asked already.
bool Emitter::say_fan(double asked) {
    const double duty = fan_within_range(asked);
    if (duty == fan_said_) return false;
    fan_said_ = duty;
    fan_said_at_ = barriers_;
    std::string command = "M106 S";
    append_trimmed(command, duty * plan_.machine.read.fan_full, 3);
    writer_.line(duty > 0 ? command : "M107");
    return true;
}

}  // namespace durograde::grade
