#include "check/comparison.hpp"

#include <algorithm>
#include <cmath>

#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;
constexpr std::string_view prime_begins = "; durograde: prime begins";
constexpr std::string_view prime_ends = "; durograde: prime ends";
constexpr std::string_view block_begins = "; durograde: block begins";
constexpr std::string_view block_ends = "; durograde: block ends";

}  // namespace

Comparison::Comparison(const plan::Plan& plan, const FirstLook& look, region::Depth* depth,
                       Reader& before, Reader& after, Ledger& ledger)
    : plan_(plan),
      look_(look),
      after_(after),
      ledger_(ledger),
      layer_reader_(before),
      zoning_(plan, look.places, look.footprint, depth),
      coverage_(layer_, plan.order && plan.order->reverse, ledger),
      layers_([this](Layer& layer) { return read_layer(layer); }),
      steadies_(
          std::any_of(plan.zones.begin(), plan.zones.end(),
                      [](const plan::Zone& zone) { return zone.steady_flow_mm3_s.has_value(); })),
      precision_(Precision::of(look.decimals, {})),
      clock_(plan.machine),
      open_air_(plan.machine, look.footprint, look.bead_mm),
      line_watch_(plan.machine, ledger),
      bead_watch_(plan, layer_, zoning_.slack_mm(), ledger),
      block_watch_(plan, look.bead_mm, ledger),
      heat_watch_(plan, clock_, ledger),
      travels_(plan),
      ooze_(plan, clock_),
      filament_watch_(plan, travels_, layer_, ledger),
      travel_watch_(plan, travels_, layer_, open_air_, look.bead_mm, ledger),
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
    block_watch_.finish(end);
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
    const auto last = next_pin_ < layer_.pins.size()
                          ? layer_.pins[next_pin_].segments_before
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
        case Kind::bead:
            see_bead();
            break;
        case Kind::travel:
        case Kind::wipe:
        case Kind::filament:
            see_move();
            break;
        case Kind::nothing:
            see_comment();
            return;
        case Kind::progress:
        case Kind::fault:
            return;
        default:
            see_command();
            return;
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
        filament_watch_.prime_begins(after_.state().at, ooze_.lost(heat_watch_.tool()),
                                     after_.raw().number);
        heat_watch_.prime(after_.raw().number);
    } else if (text == prime_ends) {
        filament_watch_.prime_ends(precision_, after_.raw().number);
    } else if (text == block_begins) {
        block_watch_.begins(after_.raw().number);
        heat_watch_.prime(after_.raw().number);
    } else if (text == block_ends) {
        block_watch_.ends(after_.raw().number);
    }
}

void Comparison::see_move() {
    const Act& act = after_.act();
    if (coasts()) return;
    end_coasting(act.e_mm < 0);
    interrupted_ = true;
    if (filament_watch_.is_priming() && act.kind != Kind::filament && act.length_mm > 0) {
        ledger_.fail(Invariant::same_beads, act.length_mm, lines(0), "moves while it primes");
    }
    const bool feeds =
        act.kind != Kind::travel && filament_watch_.move(act, precision_, after_.raw().number);
    if (block_watch_.is_open()) return;
    if (feeds) travel_watch_.feed();
    travel_watch_.move(act, filament_watch_.drawn());
}

/// Whether a move without extruding passes over what the last bead goes on with, within the tool's
/// `coast`. What it was is told by what follows: a retraction, or the way to another bead.
bool Comparison::coasts() {
    const Act& act = after_.act();
    const std::optional<double> most_mm3 = travels_.of(heat_watch_.tool()).coast_mm3;
    const bool may =
        act.kind == Kind::travel && !interrupted_ && graded_ && most_mm3 && act.length_mm > 0;
    if (!may) return false;
    const Match& last = coasted_.empty() ? last_match_ : coasted_.back().match;
    const Match match = coverage_.pass_over(act, last, precision_);
    if (!match.found) return false;
    const Segment& segment = layer_.segments[match.segment];
    const double whole_mm3 = segment.e_mm * last_target_.flow * plan_.machine.filament_area_mm2();
    const double rounding_mm3 = whole_mm3 / segment.length_mm * 1.5 * precision_.xy_mm;
    coasted_mm3_ += whole_mm3 * (match.to - match.from);
    if (coasted_mm3_ > *most_mm3 + rounding_mm3) return false;
    coasted_.push_back({act, match});
    return true;
}

/// What was passed over counts as printed where a retraction comes next: it ends the piece.
void Comparison::end_coasting(bool by_retraction) {
    for (const Coasted& coasted : coasted_) {
        if (by_retraction) {
            coverage_.cover(coasted.match);
            travel_watch_.extend(coasted.match);
        } else {
            travel_watch_.move(coasted.move, filament_watch_.drawn());
        }
    }
    interrupted_ = interrupted_ || !coasted_.empty();
    coasted_.clear();
    coasted_mm3_ = 0.0;
}

void Comparison::see_bead() {
    const Act& act = after_.act();
    end_coasting(false);
    if (block_watch_.is_open()) return see_block_bead();
    const bool other_height = has_bead_ && std::abs(act.from.z - last_z_mm_) > same_height_mm;
    if (other_height || (layer_.goes_on && coverage_.is_done())) {
        end_layer();
        begin_layer();
    }
    has_bead_ = true;
    last_z_mm_ = act.to.z;
    coverage_.use(manner());
    const Match match = coverage_.match(act, precision_, after_.raw().number);
    if (match.found) {
        see_match(match);
    } else {
        travel_watch_.lost_bead(after_.raw().number);
    }
    interrupted_ = !match.found;
    ooze_.extrude(heat_watch_.tool());
    filament_watch_.bead(act);
}

void Comparison::see_block_bead() {
    const Act& act = after_.act();
    block_watch_.lay(act, heat_watch_.set_point_c(), filament_watch_.drawn().any(), precision_,
                     after_.raw().number);
    interrupted_ = true;
    ooze_.extrude(heat_watch_.tool());
    filament_watch_.bead(act);
}

Manner Comparison::manner() const {
    const State& state = after_.state();
    const plan::Tool* tool = plan_.find_tool(heat_watch_.tool());
    const bool slows = tool != nullptr && tool->max_flow_mm3_s.has_value();
    return {
        heat_watch_.tool(), heat_watch_.set_point_c(), state.settings.mark(), state.label, slows,
        steadies_};
}

void Comparison::see_match(const Match& match) {
    const Segment& segment = layer_.segments[match.segment];
    const Stroke& stroke = layer_.strokes[segment.stroke];
    const std::uint32_t last = last_match_.segment;
    const bool is_next = match.reversed
                             ? match.segment + 1 == last && last != stroke.last
                             : match.segment == last + 1 && match.segment != stroke.first;
    const bool same_way = match.reversed == last_match_.reversed;
    // A circle that is cut goes on over its own seam, as another piece.
    const bool is_same = match.segment == last && (match.reversed ? match.to <= last_match_.to
                                                                  : match.from >= last_match_.from);
    const bool goes_on = !interrupted_ && same_way && (is_same || is_next);
    last_match_ = match;
    if (goes_on) {
        travel_watch_.extend(match);
    } else {
        begin_piece(match, stroke);
    }
    const Lines here = lines(segment.line);
    if (graded_)
        block_watch_.print(after_.act(), plan_.find_tool(heat_watch_.tool()), precision_, here);
    const Target& target = bead_watch_.bead(match, after_.act(), heat_watch_.tool(),
                                            heat_watch_.set_point_c(), precision_, here);
    const bool looks_at_heat = !goes_on || heat_changed_ || !(target == last_target_);
    if (looks_at_heat && target.tool == heat_watch_.tool()) heat_watch_.extrude(target, here);
    if (graded_ && looks_at_heat)
        travels_.print(heat_watch_.tool(), target.tool == heat_watch_.tool() ? target.celsius : 0);
    last_target_ = target;
    heat_changed_ = may_prime_ = false;
}

/// Whether nothing of the stroke comes before the match, or too little for a unit of E: that comes
/// out as a travel.
bool Comparison::begins_stroke(const Match& match, const Stroke& stroke) const {
    if (match.reversed) return false;
    double before_mm = layer_.segments[match.segment].e_mm * match.from;
    for (std::uint32_t i = stroke.first; i < match.segment && before_mm <= precision_.e_mm; ++i)
        before_mm += layer_.segments[i].e_mm;
    return before_mm <= precision_.e_mm;
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
    const bool at_start = begins_stroke(match, stroke);
    bead_watch_.begin_piece();
    travel_watch_.bead(match, graded_, here);
    filament_watch_.piece(stroke, at_start, after_.act(), precision_, here);
    setting_watch_.piece(stroke, after_.state(), graded_, here);
    swap_watch_.bead(graded_, here);
}

}  // namespace durograde::check
