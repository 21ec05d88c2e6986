#include <algorithm>
#include <optional>

#include "check/comparison.hpp"

/// The output's lines that move nothing: heat, tools, settings, and what nothing may move across.
namespace durograde::check {

/// Whether the line is one of those that the plan spells for heat and tools, and which.
bool Comparison::is_spelled_out(Said& said, bool& waits, bool& cools) const {
    const plan::Writes& writes = plan_.machine.write;
    const std::string_view text = after_.command();
    cools = writes.wait_cool && is_spelled(text, *writes.wait_cool, said);
    waits = cools || is_spelled(text, writes.wait, said);
    if (!waits && !is_spelled(text, writes.set, said)) return false;
    return !said.tool || plan_.find_tool(static_cast<int>(*said.tool)) != nullptr;
}

void Comparison::see_command() {
    const Act& act = after_.act();
    const State& state = after_.state();
    const std::string_view text = after_.command();
    const std::uint64_t line = after_.raw().number;
    Said said;
    bool waits = false, cools = false;
    bool selects = act.kind == Kind::tool;
    if (act.kind == Kind::pin && is_spelled(text, plan_.machine.write.select, said)) {
        // A tool that the plan does not know is none of ours: the line is the input's own.
        const int next = static_cast<int>(said.to.value_or(0));
        selects = plan_.find_tool(next) != nullptr;
        if (selects) after_.take_tool(next);
    }
    const bool heats = act.kind == Kind::heat || (!selects && is_spelled_out(said, waits, cools));
    const bool is_pin = act.kind == Kind::pin && !heats;
    const bool swaps = selects && state.tool != heat_watch_.tool();
    const bool is_inputs = next_pin_ < layer_.pins.size() && layer_.pins[next_pin_].text == text;
    // A dwell lets a tool cool that the controller does not wait for.
    const bool dwells = is_pin && act.dwell_s > 0 && !is_inputs && heat_watch_.must_cool();
    const bool own = swap_watch_.is_own(text, swaps, is_pin, Standing::of(state), line) || dwells;
    for (const Pin& pin : swap_watch_.released()) see_pin(pin.text, pin.standing, pin.line);
    swap_watch_.released().clear();
    // Heat may be set on the way, wherever a line ends.
    if (heats) return see_heat();
    end_coasting(false);
    interrupted_ = true;
    if (state.firsts() > firsts_) travel_watch_.pin(line);
    firsts_ = state.firsts();
    if (selects) see_tool();
    if (act.kind == Kind::fan) setting_watch_.fan();
    if (act.kind == Kind::setting) clock_.adopt(state.settings);
    if (!is_pin) return;
    if (state.tool_away) travel_watch_.put_away();
    clock_.pause(act.dwell_s);
    if (!own) see_pin(std::string(text), Standing::of(state), line);
}

void Comparison::see_tool() {
    const int next = after_.state().tool;
    if (next == heat_watch_.tool()) return;
    travel_watch_.swap(heat_watch_.tool(), next, filament_watch_.drawn(), after_.raw().number);
    ooze_.put_away(heat_watch_.tool());
    ooze_.take(next);
    heat_watch_.select(next, after_.raw().number);
    filament_watch_.select(next);
    block_watch_.swap(ooze_.lost(next).least_mm3);
    setting_watch_.swap();
    may_prime_ = true;
}

/// A heat command, or a line that the plan spells as one.
void Comparison::see_heat() {
    const Act& act = after_.act();
    Said said;
    bool waits = false, cools = false;
    const bool spelled = is_spelled_out(said, waits, cools);
    int tool = heat_watch_.tool();
    std::optional<double> celsius;
    if (act.kind == Kind::heat) {
        tool = act.tool;
        if (act.sets) celsius = act.celsius;
        waits = act.waits || (spelled && waits);
        cools = act.cools || (spelled && cools);
    } else {
        if (said.tool) tool = static_cast<int>(*said.tool);
        celsius = said.temperature;
    }
    if (celsius) {
        after_.take_set_point(tool, *celsius);
        heat_watch_.set(tool, *celsius, after_.raw().number);
        ooze_.set(tool, *celsius);
        bead_watch_.forget();
        heat_changed_ = true;
    }
    if (waits) {
        ooze_.wait(tool);
        heat_watch_.wait(tool, cools);
        may_prime_ = true;
    }
}

/// The program ends as the input does: it stands where that stands.
void Comparison::see_end() {
    const bool last = !layer_.pins.empty() && layer_.pins.back().text.empty();
    if (last) see_pin({}, Standing::of(after_.state()), after_.raw().number);
}

void Comparison::see_pin(const std::string& text, const Standing& standing, std::uint64_t line) {
    travel_watch_.pin(line);
    const auto begin = layer_.pins.begin() + static_cast<std::ptrdiff_t>(next_pin_);
    const auto found =
        std::find_if(begin, layer_.pins.end(), [&](const Pin& pin) { return pin.text == text; });
    if (found == layer_.pins.end()) {
        ledger_.fail(Invariant::settings_kept, 1.0, {0, line}, "is not in the input here: " + text);
        return;
    }
    for (auto skipped = begin; skipped != found; ++skipped) {
        ledger_.fail(Invariant::settings_kept, 1.0, {skipped->line, line},
                     "is missing: " + skipped->text);
    }
    setting_watch_.pin(*found, standing, heat_watch_.tool(), precision_, line);
    span_begin_ = found->segments_before;
    next_pin_ = static_cast<std::size_t>(found - layer_.pins.begin()) + 1;
    open_span();
}

}  // namespace durograde::check
