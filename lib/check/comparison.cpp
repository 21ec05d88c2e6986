#include "check/comparison.hpp"

#include <algorithm>
#include <utility>

#include "text/diagnostic.hpp"

namespace durograde::check {
namespace {

constexpr std::string_view prime_begins = "; durograde: prime begins";
constexpr std::string_view prime_ends = "; durograde: prime ends";
constexpr std::string_view swap_begins = "; durograde: swap begins";
constexpr std::string_view swap_ends = "; durograde: swap ends";
constexpr std::string_view block_begins = "; durograde: block begins";
constexpr std::string_view block_ends = "; durograde: block ends";

/// By a zone's band for its flow, or by what the material flows at most.
bool changes_feeds(const plan::Plan& plan) {
    const auto is_banded = [](const plan::Zone& zone) {
        return zone.steady_flow_mm3_s.has_value();
    };
    const auto is_limited = [](const plan::MaterialPoint& point) {
        return point.max_flow_mm3_s > 0;
    };
    return std::any_of(plan.zones.begin(), plan.zones.end(), is_banded) ||
           (plan.material &&
            std::any_of(plan.material->points.begin(), plan.material->points.end(), is_limited));
}

}  // namespace

Comparison::Comparison(const plan::Plan& plan, const FirstLook& look, region::Depth* depth,
                       Reader& before, Reader& after, Ledger& ledger)
    : plan_(plan),
      look_(look),
      after_(after),
      ledger_(ledger),
      layer_reader_(before, plan.machine, look.first_layers, look.sinks),
      zoning_(plan, look.places, look.footprint, depth),
      coverage_(layer_, plan.order && plan.order->reverse, ledger),
      layers_([this](Layer& layer) { return read_layer(layer); }),
      steadies_(changes_feeds(plan)),
      precision_(Precision::of(look.decimals, {})),
      clock_(plan.machine),
      open_air_(plan.machine, look.footprint, look.bead_mm),
      line_watch_(plan.machine, look.paces.allowed(plan), ledger),
      bead_watch_(plan, layer_, zoning_.slack_mm(), ledger),
      block_watch_(plan, look.bead_mm, ledger),
      heat_watch_(plan, clock_, ledger),
      travels_(plan),
      ooze_(plan, clock_),
      balance_(ledger),
      filament_watch_(plan, travels_, layer_, balance_, ledger),
      travel_watch_(plan, travels_, layer_, open_air_, look.bead_mm, ledger),
      hit_watch_(plan, travels_, layer_, look.footprint, ledger),
      setting_watch_(plan, ledger),
      swap_watch_(plan.machine.write, ledger),
      progress_watch_(clock_, ledger),
      sayings_(plan.machine.read.distance_mode_sets_e) {}

void Comparison::run() {
    ledger_.note(Invariant::same_beads, 0.0, precision_.xy_mm);
    begin_layer();
    while (next_line()) see_line();
    const std::uint64_t end = after_.raw().number;
    end_piece();
    see_end();
    travel_watch_.finish(end);
    hit_watch_.finish(end);
    heat_watch_.finish(end);
    filament_watch_.finish(precision_, end);
    block_watch_.finish(end);
    progress_watch_.finish(look_.states_progress, end);
    while (has_layer_) {
        end_layer();
        begin_layer();
    }
    balance_.finish(precision_, end);
    if (loose_notes_ != 0)
        ledger_.fail(Invariant::nothing_lost, {}, {0, end},
                     "comments or messages of the input are missing, or stand elsewhere");
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
    loose_notes_ += layer_.loose_notes;
    for (const std::uint64_t line : layer_.doubts)
        ledger_.fail(Invariant::right_tool, {}, {line, 0},
                     "the plan's conditions put this bead into another zone than it was cut for");
    filament_watch_.begin_layer();
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
    end_piece();
    judge_strays();
    loose_notes_ += std::exchange(prologue_notes_, 0);
    in_first_layer_ = false;
    coverage_.settle(precision_, after_.raw().number);
    travel_watch_.end_layer();
    for (; next_pin_ < layer_.pins.size(); ++next_pin_) {
        const Pin& pin = layer_.pins[next_pin_];
        ledger_.fail(Invariant::settings_kept, {1.0}, lines(pin.line), "is missing: " + pin.text);
    }
}

// --- the output's lines -------------------------------------------------------------------------

bool Comparison::next_line() {
    try {
        return after_.next();
    } catch (const Failure& failure) {
        if (failure.exit() != Exit::bad_input) throw;
        ledger_.fail(Invariant::in_reach, {}, lines(0), "this line is too long to be one");
        return false;
    }
}

void Comparison::see_line() {
    const Act& act = after_.act();
    line_watch_.see(after_, swap_watch_.is_open());
    if (swap_watch_.is_open() && see_swap_line()) return;
    if (notes_.see(after_)) noted_at_ = after_.state().at;
    sayings_.see(act, after_.state(), after_.line());
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
            // The plan may have put a message around a swap.
            after_.line().word_count > 0 ? see_command() : see_comment();
            return;
        case Kind::progress:
            return progress_watch_.see(after_.line(), after_.raw().number);
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
    if (text == swap_begins) {
        begin_swap();
    } else if (text == swap_ends) {
        end_swap();
    } else if (text == prime_begins) {
        if (!may_prime_) {
            ledger_.fail(Invariant::same_beads, {}, lines(0), "a prime without a swap before it");
        }
        may_prime_ = false;
        filament_watch_.prime_begins(after_.state().at, ooze_.lost(heat_watch_.tool()),
                                     after_.raw().number);
        heat_watch_.prime(after_.raw().number);
        const plan::Tool* tool = plan_.find_tool(heat_watch_.tool());
        hit_watch_.prime(after_.state().at, tool != nullptr && tool->prime && tool->prime->at_spot,
                         after_.raw().number);
    } else if (text == prime_ends) {
        filament_watch_.prime_ends(precision_, after_.raw().number);
        travel_watch_.load();
    } else if (text == block_begins) {
        block_watch_.begins(after_.raw().number);
        heat_watch_.prime(after_.raw().number);
    } else if (text == block_ends) {
        block_watch_.ends(after_.raw().number);
    }
}

}  // namespace durograde::check
