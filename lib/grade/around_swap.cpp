#include <algorithm>
#include <string>

#include "grade/emitter.hpp"
#include "text/number.hpp"

/// The plan's own lines around a swap: written as they are, read as the machine will.
namespace durograde::grade {

using program::Step;

/// The lines before, the selection, the lines behind. Returns the seconds that their moves and
/// dwells take.
double Emitter::select(int number, const grammar::SlotValues& values) {
    const plan::Writes& write = plan_.machine.write;
    const double began_s = clock_.now_s();
    const program::Frame frame = writer_.frame();
    if (swap_reading_) begin_swap_lines();
    insert(Reason::swap, [&] {
        if (write.has_swap_lines()) writer_.line("; durograde: swap begins");
        write_swap_lines(write.before_swap, values);
        say(write.select, values);
        take_tool(number);
        if (swap_reading_) swap_reading_->select();
        if (write.after_says_numbers) {
            writer_.line("G90");
            writer_.line("M83");
        }
        write_swap_lines(write.after_swap, values);
        if (write.has_swap_lines()) writer_.line("; durograde: swap ends");
    });
    if (!swap_reading_) return clock_.now_s() - began_s;
    if (writer_.knows_position()) writer_.stand_at(swap_reading_->place());
    // Places are rounded in the program's units. The rest is said anew where it is needed.
    insert(Reason::swap, [&] {
        if (write.swap_says_units && !frame.inch) writer_.line("G21");
        writer_.change_frame({frame.inch, false, true, frame.volumetric_area_mm2}, 0.0);
    });
    return clock_.now_s() - began_s;
}

/// Numbers are read in mm, absolute, with increments of filament. What the program's own beads need
/// is said again before them.
void Emitter::begin_swap_lines() {
    swap_reading_->begin(writer_.position(), writer_.feed_mm_min(), clock_.speed_factor());
    program::Frame plain;
    plain.e_relative = true;
    insert(Reason::swap, [&] { writer_.change_frame(plain, 0.0); });
}

void Emitter::write_swap_lines(const std::vector<plan::SwapLine>& lines,
                               const grammar::SlotValues& values) {
    std::string text;
    for (const plan::SwapLine& line : lines) {
        text.clear();
        expand(line.command, values, text);
        if (swap_reading_) take_swap_step(swap_reading_->read(text, line), line, text);
        writer_.line(text);
    }
}

void Emitter::take_swap_step(const Step& step, const plan::SwapLine& line,
                             const std::string& text) {
    if (step.dwell_s > 0) clock_.pause(step.dwell_s);
    if (!step.moves()) return;
    if (!writer_.counts_from_home())
        throw unfit_swap_line(line, text,
                              "the program has moved its zero by G92, and the move "
                              "would lead elsewhere",
                              "put the move into a macro of the controller and call it here");
    check_clear(step, line, text);
    const double program_factor = clock_.speed_factor();
    clock_.set_speed_factor(swap_reading_->speed_factor());
    time_step(step);
    clock_.set_speed_factor(program_factor);
    if (step.e_mm == 0.0) return;
    // What is fed beyond what was retracted is declared by the plan.
    const double before_mm3 = figures_.restart_mm3;
    note_filament(step.e_mm, firmware_retracted_[tool_]);
    moved_by_lines_[tool_] = true;
    figures_.swap_lines_mm3 += figures_.restart_mm3 - before_mm3;
    figures_.restart_mm3 = before_mm3;
}

/// Where the nozzle comes from is known, and what is printed stands in the way.
void Emitter::check_clear(const Step& step, const plan::SwapLine& line,
                          const std::string& text) const {
    constexpr double slack_mm = 0.01;
    const std::optional<double>& gantry_mm = plan_.machine.gantry_mm;
    const double top_mm = std::max(highest_mm_, layer_z_mm_);
    if (gantry_mm && swap_reading_->knows_height() && step.to.z < top_mm - *gantry_mm) {
        std::string why = "it goes to height ";
        append_trimmed(why, step.to.z);
        append_trimmed(why += " while what is printed stands ", top_mm);
        throw unfit_swap_line(line, text, why + " mm high, more than machine.gantry above it",
                              "keep such moves higher: the nozzle stands above what is printed "
                              "when before_swap begins");
    }
    if (!swap_reading_->begins_known() || !(distance(step.from, step.to) > 0)) return;
    const double low_mm = std::min(step.from.z, step.to.z);
    const double high_mm = heights_->highest_mm(step.from, step.to);
    if (low_mm >= high_mm - slack_mm) return;
    std::string why = "it moves at height ";
    append_trimmed(why, low_mm);
    append_trimmed(why += " through what is printed up to ", high_mm);
    throw unfit_swap_line(line, text, why + " there",
                          "keep such moves beside the print, or above it: the nozzle stands above "
                          "it when before_swap begins");
}

}  // namespace durograde::grade
