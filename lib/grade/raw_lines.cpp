#include <algorithm>
#include <cmath>

#include "grade/emitter.hpp"

/// Lines that stand as the input has them: what they do to the machine, and to what is known of it.
namespace durograde::grade {

using program::Span;
using program::Step;
using program::StepKind;

void Emitter::raw_step(const Step& step) {
    if (step.leaves_unknown) ++barriers_;
    if (step.kind == StepKind::fan) {
        fan_said_ = step.fan_duty;
        fan_said_at_ = barriers_;
    }
    if (step.kind == StepKind::tool) {
        take_tool(step.tool);
        fan_said_ = -1.0;  // each tool has a fan of its own
    }
    // Whatever it did: the next piece selects its tool anew.
    if (step.kind == StepKind::pin && step.tool < 0) {
        if (step.tool == program::unknown_tool) take_tool(program::unknown_tool);
        tool_in_doubt_ = true;
        station_ = -1;
    }
    if (step.kind == StepKind::label) label_ = step.label;
    if (step.leaves_unknown) restate_due_ = is_place_lost_ = true;
    // Which tool a set-point without a number is for, is known once one was selected.
    const bool is_doubtful = step.kind == StepKind::heat && !step.names_tool && tool_in_doubt_;
    heat_in_doubt_ = heat_in_doubt_ || is_doubtful;
    if (step.kind == StepKind::heat && !grading_) {
        const int heated = step.names_tool || step.tool < 0 ? step.tool : tool_;
        schedule_.note_set_point(heated, step.temperature_c, clock_.now_s());
        if (step.waits) wait_as_sliced(heated);
    }
    if (step.dwell_s > 0) clock_.pause(step.dwell_s);
    if (!step.moves()) return;
    if (step.kind == StepKind::filament) {
        const bool by_machine = step.e_begin == step.e_end && step.firmware_retracted;
        note_inputs_retraction(by_machine, step.e_mm, step.feed_mm_min);
    }
    if (step.kind == StepKind::bead) {
        wipe_path_.add(step, travel_->wipe ? travel_->wipe->length_mm : 0.0);
    } else if (distance_xy(step.from, step.to) > 0) {
        wipe_path_.clear();  // the nozzle has gone from what could have been wiped along
    }
    time_step(step);
}

void Emitter::time_step(const Step& step) {
    const bool filament_only = step.kind == StepKind::filament;
    const double length = filament_only ? std::abs(step.e_mm) : step.length_mm();
    if (filament_only && step.e_mm == 0.0)
        return clock_.machine_retraction(step.firmware_retracted, plan::Retract{});
    const motion::Drive drive = filament_only                 ? motion::Drive::filament
                                : step.kind == StepKind::bead ? motion::Drive::print
                                                              : motion::Drive::travel;
    const motion::Move move{step.to.x - step.from.x,
                            step.to.y - step.from.y,
                            step.to.z - step.from.z,
                            step.e_mm,
                            length,
                            step.feed_mm_min,
                            drive};
    step.is_arc ? clock_.move(move, motion::bend_of(step.arc, step.from, step.to))
                : clock_.move(move);
}

/// Counts of E that increments have parted stay so, until a line states one.
void Emitter::adopt(const Span& span) {
    const double e_register = writer_.e_register();
    writer_.adopt(span.entry);
    const auto states_count = [](const Step& step) { return step.sets_register; };
    const bool parted = grading_ && span.before_raw.frame.e_relative &&
                        span.entry.frame.e_relative &&
                        std::none_of(span.raw_steps.begin(), span.raw_steps.end(), states_count);
    if (parted) writer_.count_from(e_register + span.entry.e_register - span.before_raw.e_register);
}

/// What the input says of its progress no longer holds.
void Emitter::copy_raw(const Span& span, std::string_view raw) {
    figures_.edits.copied += span.raw_lines;
    const auto states_progress = [](const Step& step) { return step.kind == StepKind::progress; };
    if (std::none_of(span.raw_steps.begin(), span.raw_steps.end(), states_progress)) {
        return timeline_.bytes().append(raw);
    }
    for (const Step& step : span.raw_steps) {
        const std::size_t size = std::min(raw.find('\n'), raw.size() - 1) + 1;
        if (states_progress(step)) {
            count(figures_.edits.removed, Reason::progress);
            --figures_.edits.copied;
        } else {
            timeline_.bytes().append(raw.substr(0, size));
        }
        raw.remove_prefix(size);
    }
}

void Emitter::take_retraction(int number, const program::State& state) {
    retracted_mm_[number] = state.retracted_mm;
    firmware_retracted_[number] = state.firmware_retracted;
}

}  // namespace durograde::grade
