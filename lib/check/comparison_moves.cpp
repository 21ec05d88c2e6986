#include <algorithm>
#include <cmath>
#include <utility>

#include "check/comparison.hpp"

/// The output's lines that move: beads, what is passed over unextruded, travels and retractions.
namespace durograde::check {
namespace {

constexpr double same_height_mm = 1e-6;

}  // namespace

void Comparison::see_move() {
    const Act& act = after_.act();
    hit_watch_.move(act, after_.state(), after_.raw().number);
    if (coasts()) return;
    end_coasting(act.e_mm < 0);
    interrupted_ = true;
    if (filament_watch_.is_priming() && act.kind != Kind::filament && act.length_mm > 0) {
        ledger_.fail(Invariant::same_beads, {act.length_mm}, lines(0), "moves while it primes");
    }
    using Fed = FilamentWatch::Fed;
    const Fed fed = act.kind == Kind::travel
                        ? Fed::nothing
                        : filament_watch_.move(act, precision_, after_.raw().number);
    if (block_watch_.is_open()) return;
    if (fed == Fed::in_place) see_fed_in_place();
    // A pillar stands as what beads lay does.
    if (fed == Fed::in_place && act.to.z > act.from.z) hit_watch_.raise(act, after_.raw().number);
    if (fed != Fed::nothing) travel_watch_.feed();
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
            extend_piece(coasted.match);
        } else {
            travel_watch_.move(coasted.move, filament_watch_.drawn());
        }
    }
    interrupted_ = interrupted_ || !coasted_.empty();
    coasted_.clear();
    coasted_mm3_ = 0.0;
}

void Comparison::see_bead() {
    end_coasting(false);
    if (block_watch_.is_open()) return see_block_bead();
    bead_ = &after_.act();
    const Act& act = *bead_;
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
        balance_.feed(act.e_mm);
    }
    interrupted_ = !match.found;
    ooze_.extrude(heat_watch_.tool());
    filament_watch_.bead(after_.act());
    hit_watch_.print(after_.act(), after_.raw().number);
    travel_watch_.print(after_.act());
}

void Comparison::see_block_bead() {
    const Act& act = after_.act();
    travel_watch_.load();
    block_watch_.lay(act, heat_watch_.set_point_c(), filament_watch_.drawn().any(), precision_,
                     after_.raw().number);
    interrupted_ = true;
    ooze_.extrude(heat_watch_.tool());
    filament_watch_.bead(act);
    hit_watch_.print(act, after_.raw().number);
}

Manner Comparison::manner() const {
    const State& state = after_.state();
    const plan::Tool* tool = plan_.find_tool(heat_watch_.tool());
    const bool slows = tool != nullptr && tool->max_flow_mm3_s.has_value();
    const bool fans = tool != nullptr && tool->fan.has_value();
    return {heat_watch_.tool(),
            heat_watch_.set_point_c(),
            state.settings.mark(),
            state.label,
            fans ? Manner::any_fan : state.fan_duty,
            slows,
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
    leave_out_restart(match, stroke);
    if (goes_on) {
        travel_watch_.extend(match);
        extend_piece(match);
    } else {
        begin_piece(match, stroke);
    }
    const Lines here = lines(segment.line);
    if (graded_) block_watch_.print(*bead_, plan_.find_tool(heat_watch_.tool()), precision_, here);
    const Target& target = bead_watch_.bead(match, *bead_, heat_watch_.tool(),
                                            heat_watch_.set_point_c(), precision_, here);
    const double whole_mm = segment.e_mm * target.flow;
    balance_.bead(bead_->e_mm, whole_mm * (match.to - match.from), whole_mm / segment.length_mm,
                  precision_);
    const bool looks_at_heat = !goes_on || heat_changed_ || !(target == last_target_);
    if (looks_at_heat && target.tool == heat_watch_.tool())
        heat_watch_.extrude(target, stroke.waited, here);
    if (graded_ && looks_at_heat)
        travels_.print(heat_watch_.tool(), target.tool == heat_watch_.tool() ? target.celsius : 0);
    last_target_ = target;
    heat_changed_ = may_prime_ = false;
}

/// Printed from its other end, a piece comes to the begin of its stroke last.
void Comparison::extend_piece(const Match& match) {
    if (!match.reversed) return;
    const Stroke& stroke = layer_.strokes[layer_.segments[match.segment].stroke];
    piece_.begins_stroke = piece_.begins_stroke || covers_begin(match, stroke);
}

/// Where the input restarts along the first bead of a stroke, and the output likewise, so much of
/// its filament is no bead's.
void Comparison::leave_out_restart(const Match& match, const Stroke& stroke) {
    const bool restarts = stroke.restarts_mm > 0 && match.segment == stroke.first;
    const double mm = restarts ? filament_watch_.restarts_along(*bead_) : 0.0;
    if (!(mm > 0)) return;
    restarted_ = *bead_;
    restarted_.e_mm -= mm;
    bead_ = &restarted_;
}

/// Whether nothing of the stroke comes before the match, or too little for a unit of E: that comes
/// out as a travel.
bool Comparison::covers_begin(const Match& match, const Stroke& stroke) const {
    // Arcs are told to three units of their numbers.
    const Segment& segment = layer_.segments[match.segment];
    const double share = match.from <= share_of(4 * precision_.xy_mm, segment) ? 0.0 : match.from;
    double before_mm = segment.e_mm * share;
    for (std::uint32_t i = stroke.first; i < match.segment && before_mm <= precision_.e_mm; ++i)
        before_mm += layer_.segments[i].e_mm;
    return before_mm <= precision_.e_mm;
}

/// What must be right where a piece begins, and stays so along it.
void Comparison::begin_piece(const Match& match, const Stroke& stroke) {
    const Lines here = lines(layer_.segments[match.segment].line);
    // What comes before the first graded bead of the input stands as it is.
    const bool begins_grading = !graded_ && match.segment >= layer_.first_graded;
    if (begins_grading) {
        graded_ = in_first_layer_ = true;
        heat_watch_.begin_grading(here.output);
        ooze_.begin_grading(heat_watch_.tool());
    }
    if (match.elsewhere) {
        ledger_.fail(Invariant::settings_kept, {1.0}, here,
                     "is extruded on the other side of a line that nothing may move across");
    }
    const bool covers = covers_begin(match, stroke);
    const bool at_start = covers && !match.reversed;
    end_piece();
    const bool is_short = covers && (match.from > 0.0 || match.segment != stroke.first);
    piece_ = {notes_.take(),  layer_.segments[match.segment].stroke,
              covers,         true,
              begins_grading, is_short,
              noted_at_,      here};
    if (after_.state().tool_unsure && graded_) {
        ledger_.fail(Invariant::right_tool, {}, here,
                     "is printed by whichever tool is in use: none was selected for certain");
    }
    if (graded_) judge_said(stroke, here);
    bead_watch_.begin_piece();
    travel_watch_.bead(match, graded_, here);
    filament_watch_.piece(stroke, at_start, *bead_, precision_, here);
    setting_watch_.piece(stroke, after_.state(), graded_, here);
    swap_watch_.bead(graded_, selections_of_input(), here);
}

/// The comments and messages before a stroke stand before its begin, wherever it is printed. Only
/// those before the first stroke that the plan grades may stand before the piece that is printed
/// first instead: where the program's own begin ends, comments do not tell.
void Comparison::end_piece() {
    if (!piece_.any) return;
    const std::uint64_t wanted = piece_.begins_stroke ? layer_.strokes[piece_.stroke].notes : 0;
    const bool is_first_stroke = in_first_layer_ && piece_.begins_stroke &&
                                 layer_.segments[layer_.first_graded].stroke == piece_.stroke;
    std::uint64_t off = piece_.notes - wanted;
    if (piece_.comes_first && !is_first_stroke) {
        prologue_notes_ = std::exchange(off, 0);
    } else if (is_first_stroke) {
        off += std::exchange(prologue_notes_, 0);
    }
    if (off != 0) {
        note_stray(off);
    } else if (piece_.begins_stroke) {
        layer_.strokes[piece_.stroke].notes_met = true;
    }
    piece_ = {};
}

/// A stroke whose begin is too little for a unit of E, or for a bead to be told by, has its
/// comments there all the same: before whatever is printed next.
void Comparison::note_stray(std::uint64_t off) {
    constexpr double same_place_mm = 0.01;
    const Stroke& stroke = layer_.strokes[piece_.stroke];
    const bool lacks_them = off + stroke.notes == 0;
    const auto stands_at_begin = [&](const Point& at) {
        return distance_xy(at, stroke.start) <= same_place_mm &&
               std::abs(at.z - stroke.start.z) <= same_place_mm;
    };
    const auto other = std::find_if(strays_.begin(), strays_.end(), [&](const Stray& stray) {
        return stray.notes + off == 0 && (stray.is_short || piece_.is_short ||
                                          (lacks_them && stands_at_begin(stray.noted_at)));
    });
    if (other != strays_.end()) {
        strays_.erase(other);
    } else {
        strays_.push_back({off, piece_.lines, piece_.is_short, piece_.stroke, piece_.noted_at});
    }
}

void Comparison::judge_strays() {
    for (const Stray& stray : strays_) {
        // The first microns of a stroke may be printed alone: it has two pieces that begin it.
        const Stroke& stroke = layer_.strokes[stray.stroke];
        if (stroke.notes_met && stray.notes + stroke.notes == 0) continue;
        ledger_.fail(Invariant::nothing_lost, {}, stray.lines,
                     "is printed without the comments or messages before it, or with others");
    }
    strays_.clear();
}

}  // namespace durograde::check
