#include <algorithm>
#include <cmath>
#include <limits>
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
    const bool selects = act.kind == Kind::tool;
    const bool heats = act.kind == Kind::heat || (!selects && is_spelled_out(said, waits, cools));
    const bool is_pin = act.kind == Kind::pin && !heats;
    const bool is_inputs = next_pin_ < layer_.pins.size() && layer_.pins[next_pin_].text == text;
    // A dwell lets a tool cool that the controller does not wait for.
    const bool dwells = is_pin && act.dwell_s > 0 && !is_inputs && heat_watch_.must_cool();
    // Heat may be set on the way, wherever a line ends.
    if (heats) return see_heat();
    end_coasting(false);
    interrupted_ = true;
    if (state.firsts() > firsts_) {
        travel_watch_.pin(line, false);
        end_piece();
        loose_notes_ -= notes_.take();
    }
    firsts_ = state.firsts();
    if (selects && (state.tool != heat_watch_.tool() || act.settles)) swap_watch_.swap(line);
    if (selects) see_tool();
    if (act.kind == Kind::fan) setting_watch_.fan();
    if (act.kind == Kind::setting) clock_.adopt(state.settings);
    if (!is_pin) return;
    if (!dwells && !is_understood(after_.line())) sayings_.pass_barrier();
    if (state.tool_away) travel_watch_.put_away();
    clock_.pause(act.dwell_s);
    if (!dwells) see_pin(std::string(text), Standing::of(state), line);
}

/// So many tools the input selects before the first stroke that is graded.
std::uint32_t Comparison::selections_of_input() const {
    if (layer_.first_graded == Layer::none) return std::numeric_limits<std::uint32_t>::max();
    return layer_.strokes[layer_.segments[layer_.first_graded].stroke].selections;
}

void Comparison::see_tool() {
    const int next = after_.state().tool;
    const bool is_other = next != heat_watch_.tool();
    // What the input selects before the plan grades, its own beads rest on too.
    const bool is_ours = graded_ || ++selections_ > selections_of_input();
    if (!is_other && !(is_ours && after_.act().settles)) return;
    if (is_ours) {
        sayings_.pass_swap();
        const State& left = swap_watch_.is_open() ? swap_from_.state : after_.state();
        hit_watch_.swap(heat_watch_.tool(), left, after_.raw().number);
    }
    if (!is_other) clock_.swap(plan_.machine.swap_time_s);
    const Retractions::Drawn& drawn =
        swap_watch_.is_open() ? swap_from_.drawn : filament_watch_.drawn();
    travel_watch_.swap(heat_watch_.tool(), next, drawn, after_.raw().number);
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

/// Filament laid where the nozzle stands: the input did so here.
void Comparison::see_fed_in_place() {
    const std::string text(after_.command());
    const auto begin = layer_.pins.begin() + static_cast<std::ptrdiff_t>(next_pin_);
    const bool is_inputs =
        std::any_of(begin, layer_.pins.end(), [&](const Pin& pin) { return pin.text == text; });
    if (!is_inputs) {
        return ledger_.fail(Invariant::balanced, {after_.act().e_mm}, lines(0),
                            "feeds more than was retracted: " + text);
    }
    see_pin(text, Standing::of(after_.state()), after_.raw().number, true);
}

void Comparison::see_pin(const std::string& text, const Standing& standing, std::uint64_t line,
                         bool feeds) {
    end_piece();
    judge_strays();
    const auto begin = layer_.pins.begin() + static_cast<std::ptrdiff_t>(next_pin_);
    const auto found =
        std::find_if(begin, layer_.pins.end(), [&](const Pin& pin) { return pin.text == text; });
    travel_watch_.pin(line, feeds && found != layer_.pins.end() &&
                                found->segments_before == layer_.segments.size());
    if (found == layer_.pins.end()) {
        ledger_.fail(Invariant::settings_kept, {1.0}, {0, line},
                     "is not in the input here: " + text);
        return;
    }
    for (auto skipped = begin; skipped != found; ++skipped) {
        ledger_.fail(Invariant::settings_kept, {1.0}, {skipped->line, line},
                     "is missing: " + skipped->text);
    }
    if (notes_.take() != found->notes) {
        ledger_.fail(Invariant::nothing_lost, {}, {found->line, line},
                     "is met without the comments or messages before it, or with others");
    }
    setting_watch_.pin(*found, standing, heat_watch_.tool(), precision_, line);
    span_begin_ = found->segments_before;
    next_pin_ = static_cast<std::size_t>(found - layer_.pins.begin()) + 1;
    open_span();
}

}  // namespace durograde::check
