#include "check/travel_watch.hpp"

#include <algorithm>
#include <array>
#include <cstdio>

#include "plan/travels.hpp"

namespace durograde::check {
namespace {

std::string length_text(double mm) {
    std::array<char, 32> text{};
    std::snprintf(text.data(), text.size(), "%.2f mm", mm);
    return text.data();
}

}  // namespace

TravelWatch::TravelWatch(const plan::Plan& plan, const Travels& travels, const Layer& layer,
                         OpenAir& open_air, double bead_mm, Ledger& ledger)
    : plan_(plan),
      travels_(travels),
      layer_(layer),
      open_air_(open_air),
      ledger_(ledger),
      hops_(plan::hops(plan)),
      bead_mm_(bead_mm),
      printed_(plan.machine.reach_x, plan.machine.reach_y),
      back_{Trail(bead_mm / 2)},
      onward_{Trail(bead_mm / 2)} {
    if (plan.strings) ledger.note(Invariant::protected_travels, 0.0, plan.strings->gap_mm);
}

/// What led to the end of this layer leads on to the begin of the next one.
void TravelWatch::end_layer() {
    is_painted_ = false;
    if (!last_) return;
    const bool at_end =
        !last_->reversed && last_->segment + 1 == layer_.segments.size() && last_->to >= 1.0;
    last_->reversed = false;
    last_->to = at_end ? 1.0 : 0.0;
    last_->segment = before_first;
}

void TravelWatch::move(const Act& act, const Retractions::Drawn& drawn) {
    find_trails();
    way_.add(act);
    if (!act.from_known) return;
    const double length = act.is_arc ? act.arc.length_mm() : distance_xy(act.from, act.to);
    if (!(length > 0)) return;
    for (Wiping* wiping : {&back_, &onward_}) {
        wiping->on = wiping->on && !act.is_arc && wiping->trail.is_near(act.to) &&
                     wiping->trail.is_near(between(act.from, act.to, 0.5));
        if (wiping->on) wiping->mm += length;
    }
    const bool could_draw = retracts(tool_) && loaded_.contains(tool_);
    const bool bare = could_draw && !drawn.any();
    // A wipe lies on beads, and may retract on the way.
    const bool partly = could_draw && is_drawn_partly(drawn) && !back_.on && !onward_.on;
    const bool wipes = back_.on || onward_.on;
    legs_.push_back({act.from, act.to, bare, partly, is_fed_, wipes || is_high(act, drawn)});
    way_mm_ += length;
}

/// A tool of which the plan does not say how it retracts does as the input has done.
bool TravelWatch::retracts(int tool) const {
    return travels_.of(tool).retract.has_value() || layer_.retracts;
}

bool TravelWatch::is_high(const Act& act, const Retractions::Drawn& drawn) const {
    constexpr double rounding_mm = 0.01;
    const std::optional<double> hop_mm = travels_.of(tool_).hop_mm;
    if (!hop_mm || !drawn.any() || act.is_arc) return true;
    const double high_mm =
        std::min(printed_.height_mm() + *hop_mm, plan_.machine.reach_z.high) - rounding_mm;
    return std::min(act.from.z, act.to.z) >= high_mm;
}

/// What the machine retracts by itself is as long as the tool's own.
bool TravelWatch::is_drawn_partly(const Retractions::Drawn& drawn) const {
    constexpr double rounding_mm = 0.001;  // two or three numbers of E, in inches too
    const auto& retract = travels_.of(tool_).retract;
    return retract && drawn.any() && !drawn.by_machine &&
           drawn.mm < retract->length_mm - rounding_mm;
}

void TravelWatch::swap(int tool_number, int next_tool, const Retractions::Drawn& drawn,
                       std::uint64_t output_line) {
    find_trails();
    if (!is_away_) {
        swaps_.push_back(
            {tool_number, next_tool, drawn.any(), is_drawn_partly(drawn), is_wiped(), output_line});
    }
    is_away_ = false;
    back_.on = onward_.on = false;
    tool_ = next_tool;
}

/// What comes before the first graded bead stands as it is, up to the last line that no bead may
/// cross.
void TravelWatch::pin(std::uint64_t output_line, bool feeds_at_end) {
    pin_passed_ = true;
    if (!last_graded_) {
        legs_.clear();
        way_mm_ = 0.0;
        return;
    }
    if (!plan_.strings.has_value() && !feeds_at_end) return;
    if (!feeds_at_end) judge_bare(false, false, "travel to here", {0, output_line});
    for (Leg& leg : legs_) {
        leg.bare = leg.bare && leg.fed;
        leg.partly = false;
    }
}

/// Before the first graded bead the input selects its own tool, the last of its swaps there.
void TravelWatch::drop_inputs_swaps(const Match& match) {
    const int own = layer_.strokes[layer_.segments[match.segment].stroke].tool;
    const auto last = std::find_if(swaps_.rbegin(), swaps_.rend(),
                                   [&](const Swap& swap) { return swap.next_tool == own; });
    swaps_.erase(swaps_.begin(), last.base());
}

void TravelWatch::bead(const Match& match, bool graded, Lines lines) {
    if (graded && last_) {
        if (!last_graded_) drop_inputs_swaps(match);
        judge_swaps(lines);
        judge_way(lines);
        judge_hop(match, lines);
    } else if (graded) {
        judge_way(lines);  // a tool may come to the print's first bead from the block
    }
    begin_way(match, graded);
}

void TravelWatch::lost_bead(std::uint64_t output_line) {
    if (last_ && last_graded_) {
        judge_swaps({0, output_line});
        judge_way({0, output_line});
    }
    last_.reset();
    begin_way({}, last_graded_);
    last_.reset();
}

/// A swap is always protected, as far as the tool that is put away can be.
void TravelWatch::judge_swaps(Lines lines) {
    for (const Swap& swap : swaps_) {
        if (!loaded_.contains(swap.tool)) continue;
        const plan::Travel& asked = travels_.of(swap.tool);
        // What stands before grading begins, and what leads to a pin, is the input's own.
        const bool is_ours = !pin_passed_ && &swap == &swaps_[0];
        const bool bare = retracts(swap.tool) && (!swap.drawn || (is_ours && swap.partly));
        const bool wipes = asked.wipe.has_value() && is_ours && last_graded_;
        if (!bare && !(wipes && !swap.wiped)) continue;
        ledger_.fail(Invariant::protected_travels, {way_mm_}, {lines.input, swap.line},
                     "tool " + std::to_string(swap.tool) + " is put away without " +
                         (bare ? "its retraction" : "its wipe"));
    }
}

void TravelWatch::judge_way(Lines lines) {
    if (!plan_.strings.has_value() || way_mm_ <= plan_.strings->gap_mm) return;
    // What stands before the plan grades, or leads over a pin, is the input's own.
    const bool is_ours = last_graded_ && !pin_passed_;
    if (!judge_bare(true, is_ours, "travel to here", lines)) return;
    if (!is_ours || !swaps_.empty() || is_wiped()) return;
    const double open_mm = open_air_mm([](const Leg&) { return true; });
    if (open_mm <= plan_.strings->gap_mm) return;
    ledger_.fail(
        Invariant::protected_travels, {open_mm, plan_.strings->gap_mm}, lines,
        "the travel to here crosses open air without the wipe of tool " + std::to_string(tool_));
}

/// A nozzle that has retracted goes over what is printed with its tool's hop; where the input goes
/// the same way, as the input does. For the first way behind a change of tools see HitWatch.
void TravelWatch::judge_hop(const Match& match, Lines lines) {
    if (!hops_ || !last_graded_ || pin_passed_) return;
    const Stroke& stroke = layer_.strokes[layer_.segments[match.segment].stroke];
    const bool is_inputs = match.segment == stroke.first && !match.reversed && way_ == stroke.way;
    if (is_inputs) return;
    // The grid of the pass that plans a way sees what lies half a bead from it.
    const double apart_mm = 1.5 * bead_mm_;
    const auto low = std::find_if(legs_.begin(), legs_.end(), [&](const Leg& leg) {
        return !leg.hops && printed_.are_crossed(leg.from, leg.to, apart_mm);
    });
    if (low == legs_.end()) return;
    ledger_.fail(Invariant::protected_travels, {way_mm_}, lines,
                 "the travel to here crosses printed beads without the hop of tool " +
                     std::to_string(tool_));
}

/// Of the legs that were not retracted, those after the input has fed filament count where a bead
/// follows.
bool TravelWatch::judge_bare(bool counts_fed, bool counts_partly, const char* way, Lines lines) {
    const auto counts = [&](const Leg& leg) {
        return (leg.bare || (counts_partly && leg.partly)) && (counts_fed || !leg.fed);
    };
    const double gap_mm = plan_.strings->gap_mm;
    double bare_mm = 0.0;
    for (const Leg& leg : legs_) bare_mm += counts(leg) ? distance_xy(leg.from, leg.to) : 0.0;
    if (bare_mm <= gap_mm) return true;
    const double open_mm = open_air_mm(counts);
    if (open_mm <= gap_mm) {
        ledger_.note(Invariant::protected_travels, open_mm, gap_mm);
        return true;
    }
    ledger_.fail(Invariant::protected_travels, {open_mm, gap_mm}, lines,
                 "the " + std::string(way) + " crosses " + length_text(open_mm) +
                     " of open air without " + (counts_partly ? "its tool's" : "a") +
                     " retraction");
    return false;
}

/// The longest stretch over those legs in a row for which `counts` is true.
template <typename Counts>
double TravelWatch::open_air_mm(Counts counts) {
    if (!is_painted_) open_air_.paint(layer_);
    is_painted_ = true;
    double longest = 0.0;
    polyline_.clear();
    for (std::size_t i = 0; i <= legs_.size(); ++i) {
        if (i < legs_.size() && counts(legs_[i])) {
            if (polyline_.empty()) polyline_.push_back(legs_[i].from);
            polyline_.push_back(legs_[i].to);
        } else if (!polyline_.empty()) {
            longest = std::max(longest, open_air_.longest_mm(polyline_));
            polyline_.clear();
        }
    }
    return longest;
}

/// Whether the bead begins where the last one ended, without a way between.
bool TravelWatch::goes_on(const Match& match) const {
    if (!last_ || last_->segment == before_first || !legs_.empty() || !swaps_.empty()) return false;
    const Trail::Place end = exit_of(*last_), begin = entry_of(match);
    return distance_xy(layer_.point_on(end.segment, end.share),
                       layer_.point_on(begin.segment, begin.share)) <= closed_mm;
}

/// The way is done; `match` is the last bead now. It goes on with a piece or begins one.
void TravelWatch::begin_way(const Match& match, bool graded) {
    piece_begin_ = entry_of(match);
    if (!goes_on(match)) {
        row_begin_ = piece_begin_;
        row_reversed_ = match.reversed;
    }
    last_ = match;
    last_graded_ = graded;
    loaded_.insert(tool_);
    legs_.clear();
    swaps_.clear();
    way_ = {};
    way_mm_ = back_.mm = onward_.mm = 0.0;
    back_.trail.clear();
    onward_.trail.clear();
    back_.on = onward_.on = trails_found_ = pin_passed_ = is_away_ = is_fed_ = false;
}

void TravelWatch::finish(std::uint64_t output_line) {
    if (!last_) return;
    if (plan_.strings.has_value()) {
        judge_bare(false, false, "last travel", {0, output_line});
        return;
    }
    // Without a gap to go by, a last travel that nothing protects at all is what counts.
    const auto is_bare = [](const Leg& leg) { return leg.bare && !leg.fed; };
    if (!std::all_of(legs_.begin(), legs_.end(), is_bare)) return;
    const double open_mm = open_air_mm(is_bare);
    if (!(open_mm > 0)) return;
    ledger_.fail(
        Invariant::protected_travels, {open_mm}, {0, output_line},
        "the last travel crosses " + length_text(open_mm) + " of open air without a retraction");
}

}  // namespace durograde::check
