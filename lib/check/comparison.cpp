#include "check/comparison.hpp"

#include <algorithm>
#include <cmath>

#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;
constexpr std::string_view prime_begins = "; durograde: prime begins";
constexpr std::string_view prime_ends = "; durograde: prime ends";

}  // namespace

Comparison::Comparison(const plan::Plan& plan, const FirstLook& look, Reader& before, Reader& after,
                       Ledger& ledger)
    : plan_(plan),
      look_(look),
      after_(after),
      ledger_(ledger),
      layer_reader_(before),
      zoning_(plan, look.footprint),
      coverage_(layer_, ledger),
      layers_([this](Layer& layer) { return read_layer(layer); }),
      precision_(Precision::of(look.decimals, {})),
      clock_(plan.machine),
      open_air_(plan.machine, look.footprint, look.bead_mm),
      line_watch_(plan.machine, ledger),
      bead_watch_(plan, layer_, zoning_.slack_mm(), ledger),
      heat_watch_(plan, clock_, ledger),
      filament_watch_(plan, layer_, ledger),
      travel_watch_(plan, layer_, open_air_, look.bead_mm, ledger),
      setting_watch_(plan, ledger),
      swap_watch_(plan.machine.write, ledger) {}

void Comparison::run() {
    begin_layer();
    while (next_line()) see_line();
    const std::uint64_t end = after_.raw().number;
    see_end();
    travel_watch_.finish(end);
    heat_watch_.finish(end);
    filament_watch_.finish(end);
    while (has_layer_) {
        end_layer();
        begin_layer();
    }
}

// --- layers of the input ------------------------------------------------------------------------

/// Runs on a thread of its own.
bool Comparison::read_layer(Layer& layer) {
    if (!layer_reader_.next(layer)) return false;
    zoning_.apply(layer);
    return true;
}

void Comparison::begin_layer() {
    Layer* next = layers_.next();
    has_layer_ = next != nullptr;
    layer_.clear();
    if (has_layer_) std::swap(layer_, *next);
    coverage_.begin();
    next_pin_ = 0;
    span_begin_ = 0;
    open_span();
    bead_watch_.begin_piece();
    interrupted_ = true;
}

void Comparison::open_span() {
    const auto last = next_pin_ < layer_.pins.size() ? layer_.pins[next_pin_].segments_before
                                                     : static_cast<std::uint32_t>(layer_.segments.size());
    coverage_.open_span(span_begin_, last);
}

void Comparison::end_layer() {
    coverage_.settle(precision_, after_.raw().number);
    travel_watch_.end_layer();
    for (; next_pin_ < layer_.pins.size(); ++next_pin_) {
        const Pin& pin = layer_.pins[next_pin_];
        ledger_.fail(Invariant::settings_kept, 1.0, lines(pin.line), "is missing: " + pin.text);
    }
}

// --- the output's lines -------------------------------------------------------------------------

bool Comparison::next_line() {
    try {
        return after_.next();
    } catch (const Failure& failure) {
        if (failure.exit() != Exit::bad_input) throw;
        ledger_.fail(Invariant::in_reach, 0.0, lines(0), "this line is too long to be one");
        return false;
    }
}

void Comparison::see_line() {
    const Act& act = after_.act();
    line_watch_.see(after_);
    if (!(after_.state().frame == frame_)) {
        frame_ = after_.state().frame;
        precision_ = Precision::of(look_.decimals, frame_);
    }
    switch (act.kind) {
        case Kind::bead: see_bead(); break;
        case Kind::travel:
        case Kind::wipe:
        case Kind::filament: see_move(); break;
        case Kind::nothing: see_comment(); return;
        case Kind::progress:
        case Kind::fault: return;
        default: see_command(); return;
    }
    clock_.move(act, after_.state());
}

void Comparison::see_comment() {
    std::string_view text = after_.raw().text;
    if (!text.starts_with("; durograde: ")) return;
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    if (text == prime_begins) {
        if (!may_prime_) {
            ledger_.fail(Invariant::same_beads, 0.0, lines(0), "a prime without a swap before it");
        }
        may_prime_ = false;
        filament_watch_.prime_begins(after_.state().at, after_.raw().number);
        heat_watch_.prime(after_.raw().number);
    } else if (text == prime_ends) {
        filament_watch_.prime_ends(precision_, after_.raw().number);
    }
}

void Comparison::see_move() {
    const Act& act = after_.act();
    interrupted_ = true;
    if (filament_watch_.is_priming() && act.kind != Kind::filament && act.length_mm > 0) {
        ledger_.fail(Invariant::same_beads, act.length_mm, lines(0), "moves while it primes");
    }
    if (act.kind != Kind::travel) filament_watch_.move(act, precision_, after_.raw().number);
    travel_watch_.move(act, filament_watch_.drawn());
}

void Comparison::see_bead() {
    const Act& act = after_.act();
    const bool other_height = has_bead_ && std::abs(act.from.z - last_z_mm_) > same_height_mm;
    if (other_height || (layer_.goes_on && coverage_.is_done())) {
        end_layer();
        begin_layer();
    }
    has_bead_ = true;
    last_z_mm_ = act.to.z;
    const Match match = coverage_.match(act, precision_, after_.raw().number);
    if (!match.found) {
        filament_watch_.bead(act);
        travel_watch_.lost_bead();
        interrupted_ = true;
        return;
    }
    const Segment& segment = layer_.segments[match.segment];
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const bool goes_on = !interrupted_ && (match.segment == last_segment_ ||
                                           (match.segment == last_segment_ + 1 &&
                                            match.segment != stroke.first));
    last_segment_ = match.segment;
    if (goes_on) {
        travel_watch_.extend(match);
    } else {
        begin_piece(match, stroke);
    }
    const Target& target = bead_watch_.bead(match, act, heat_watch_.tool(), heat_watch_.set_point_c(),
                                        precision_, lines(segment.line));
    const bool looks_at_heat = !goes_on || heat_changed_ || !(target == last_target_);
    if (looks_at_heat && target.tool == heat_watch_.tool()) {
        heat_watch_.extrude(target, lines(segment.line));
    }
    last_target_ = target;
    interrupted_ = heat_changed_ = may_prime_ = false;
    filament_watch_.bead(act);
}

/// What must be right where a piece begins, and stays so along it.
void Comparison::begin_piece(const Match& match, const Stroke& stroke) {
    const Lines here = lines(layer_.segments[match.segment].line);
    // What comes before the first graded bead of the input stands as it is.
    if (!graded_ && match.segment >= layer_.first_graded) {
        graded_ = true;
        heat_watch_.begin_grading(here.output);
    }
    if (match.elsewhere) {
        ledger_.fail(Invariant::settings_kept, 1.0, here,
                     "is extruded on the other side of a line that nothing may move across");
    }
    const bool at_start = match.segment == stroke.first && match.from <= 0.0;
    bead_watch_.begin_piece();
    travel_watch_.bead(match, graded_, here);
    filament_watch_.piece(stroke, at_start, after_.act(), precision_, here);
    setting_watch_.piece(stroke, after_.state(), graded_, here);
    swap_watch_.bead(graded_, here);
}

// --- commands of the output ---------------------------------------------------------------------

/// Whether the line is one of those that the plan spells for heat and tools, and which.
bool Comparison::is_spelled_out(Said& said, bool& waits) const {
    const plan::Writes& writes = plan_.machine.write;
    const std::string_view text = after_.command();
    waits = is_spelled(text, writes.wait, said);
    return waits || is_spelled(text, writes.set, said);
}

void Comparison::see_command() {
    const Act act = after_.act();
    const State& state = after_.state();
    const std::string_view text = after_.command();
    const std::uint64_t line = after_.raw().number;
    if (act.kind != Kind::heat) interrupted_ = true;
    Said said;
    bool waits = false;
    Said selected;
    const bool selects = act.kind == Kind::tool ||
                         (act.kind == Kind::pin && is_spelled(text, plan_.machine.write.select, selected));
    if (selects && act.kind == Kind::pin) after_.take_tool(static_cast<int>(selected.to.value_or(0)));
    const bool swaps = selects && state.tool != heat_watch_.tool();
    const bool may_pin = act.kind == Kind::pin && !selects && !is_spelled_out(said, waits);
    const bool own = swap_watch_.is_own(text, swaps, may_pin, Standing::of(state), line);
    for (const Pin& pin : swap_watch_.released()) see_pin(pin.text, pin.standing, pin.line);
    swap_watch_.released().clear();

    if (selects) {
        see_tool();
    } else if (act.kind == Kind::heat) {
        see_heat();
    } else if (act.kind == Kind::fan) {
        setting_watch_.fan();
    } else if (act.kind == Kind::setting) {
        clock_.adopt(state.settings);
    } else if (act.kind == Kind::pin) {
        clock_.pause(act.dwell_s);
        if (!may_pin) return see_heat();
        if (!own) see_pin(std::string(text), Standing::of(state), line);
    }
}

void Comparison::see_tool() {
    const int next = after_.state().tool;
    if (next == heat_watch_.tool()) return;
    travel_watch_.swap(heat_watch_.tool(), next, filament_watch_.drawn(), after_.raw().number);
    heat_watch_.select(next, after_.raw().number);
    filament_watch_.select(next);
    setting_watch_.swap();
    may_prime_ = true;
}

/// A heat command, or a line that the plan spells as one.
void Comparison::see_heat() {
    const Act& act = after_.act();
    Said said;
    bool waits = false;
    const bool spelled = is_spelled_out(said, waits);
    int tool = heat_watch_.tool();
    std::optional<double> celsius;
    if (act.kind == Kind::heat) {
        tool = act.tool;
        if (act.sets) celsius = act.celsius;
        waits = act.waits || (spelled && waits);
    } else {
        if (said.tool) tool = static_cast<int>(*said.tool);
        celsius = said.temperature;
    }
    if (celsius) {
        after_.take_set_point(tool, *celsius);
        heat_watch_.set(tool, *celsius, after_.raw().number);
        bead_watch_.forget();
        heat_changed_ = true;
    }
    if (waits) {
        heat_watch_.wait(tool);
        may_prime_ = true;
    }
}

/// The program ends as the input does: it stands where that stands.
void Comparison::see_end() {
    const bool last = !layer_.pins.empty() && layer_.pins.back().text.empty();
    if (last) see_pin({}, Standing::of(after_.state()), after_.raw().number);
}

void Comparison::see_pin(const std::string& text, const Standing& standing, std::uint64_t line) {
    travel_watch_.pin();
    const auto begin = layer_.pins.begin() + static_cast<std::ptrdiff_t>(next_pin_);
    const auto found = std::find_if(begin, layer_.pins.end(), [&](const Pin& pin) { return pin.text == text; });
    if (found == layer_.pins.end()) {
        ledger_.fail(Invariant::settings_kept, 1.0, {0, line}, "is not in the input here: " + text);
        return;
    }
    for (auto skipped = begin; skipped != found; ++skipped) {
        ledger_.fail(Invariant::settings_kept, 1.0, {skipped->line, line}, "is missing: " + skipped->text);
    }
    setting_watch_.pin(*found, standing, heat_watch_.tool(), precision_, line);
    span_begin_ = found->segments_before;
    next_pin_ = static_cast<std::size_t>(found - layer_.pins.begin()) + 1;
    open_span();
}

}  // namespace durograde::check
